// How much sooner a picture is right to one per cent than traced paths are, on the same processor: the wall beside a window in low
// sun, under a coat of roughness 0.2, a joint across it. Both are counted in processor time, all threads together. The tracer is the
// one that the program is tested against (tests/oracle): points of Sobol's sequence, sources sampled at every meeting, every path
// followed to its end. It is given as few samples a pixel as bring its standard error to one per cent at half of the pixels tried.
//   cmake --preset release -DRAKELIGHT_TESTS=ON && ninja -C build/release rakelight_tracer_bench
//   LIBGL_ALWAYS_SOFTWARE=1 build/release/rakelight_tracer_bench
#include <algorithm>
#include <cmath>
#include <cstdio>
#include <ctime>
#include <stdexcept>
#include <string>
#include <vector>

#include "base/random.h"
#include "draw/draw.h"
#include "draw/renderer.h"
#include "oracle/joints.h"

namespace {

using namespace rakelight;

constexpr int width = 640, height = 360, pixels_tried = 16, replicates = 12;
constexpr double aim = 0.01;
constexpr double wall_reflectance = 0.8, roughness = 0.2;
constexpr dvec3 eye{2.6, 0.8, 1.6};

double processor_seconds() { return static_cast<double>(std::clock()) / CLOCKS_PER_SEC; }

double share_of(std::vector<double> values, double share) {
  std::sort(values.begin(), values.end());
  return values[static_cast<std::size_t>(share * static_cast<double>(values.size() - 1))];
}

rakelight::Scene scene_of(const oracle::Program& program) {
  constexpr double half = 0.275, step = 0.5e-3;
  PlacedJoint joint;
  joint.line.surface = 0;
  joint.line.from = {2.5, 0.2};
  joint.line.to = {2.5, 2.4};
  joint.line.room_left = joint.line.room_right = half + 0.05;
  joint.section.first = joint.section.left = -half;
  joint.section.right = half;
  joint.section.step = step;
  std::vector<double> heights, slopes;
  for (int i = 0; i <= static_cast<int>(std::lround(2 * half / step)); ++i) {
    heights.push_back(oracle::height(-half + i * step));
    slopes.push_back(oracle::slope(-half + i * step));
  }
  joint.section.height = std::move(heights);
  joint.section.slope = std::move(slopes);
  std::vector<Relief> reliefs(program.room.surfaces.size());
  reliefs[0].joints = {joint};
  Paint paint;
  paint.reflectance = wall_reflectance;
  paint.alpha60 = paint.alpha85 = roughness;
  paint.albedo = coat_albedo(roughness, roughness, paint.index);
  return make_scene(program.room, program.lighting, reliefs, std::vector<Paint>(program.room.surfaces.size(), paint));
}

struct Tried { dvec2 at{0}; double flat = 0; };

/// Pixels that one bare face fills: where on the wall, and its luminance as if flat.
std::vector<Tried> pixels_of(const Image& both, const View& view) {
  Random random(5);
  std::vector<Tried> out;
  const double side = view.region.width() / view.width;
  while (static_cast<int>(out.size()) < pixels_tried) {
    const int x = static_cast<int>(random.uniform() * view.width), y = static_cast<int>(random.uniform() * view.height);
    if (pixel_kind(both.at(x, y, 2)) != PixelKind::face || pixel_surface(both.at(x, y, 2)) != 0) continue;
    out.push_back({{view.region.lo.x + (x + 0.5) * side, view.region.hi.y - (y + 0.5) * side}, both.at(x, y, 1)});
  }
  return out;
}

/// Of one estimate with so many samples: its standard error over the luminance and processor time, at every pixel tried; and what
/// the picture is off the mean of all estimates.
struct Traced { std::vector<double> error, seconds, off; };
Traced trace(const oracle::World& world, const std::vector<Tried>& tried, int samples) {
  const oracle::Coat coat(wall_reflectance, roughness);
  oracle::Counts counts;
  counts.replicates = replicates;
  counts.direct = counts.paths = samples;
  Traced out;
  for (const Tried& pixel : tried) {
    const double start = processor_seconds();
    std::vector<double> estimates;
    for (const auto& by_source : oracle::luminance_at(world, {0, pixel.at, 0, dvec2(0)}, coat, eye, counts, {})) {
      double sum = 0;
      for (const double l : by_source) sum += l;
      estimates.push_back(sum);
    }
    const oracle::Mean mean = oracle::mean_of(estimates);
    out.error.push_back(mean.error * std::sqrt(static_cast<double>(replicates)) / mean.value);
    out.seconds.push_back((processor_seconds() - start) / replicates);
    out.off.push_back(std::abs(pixel.flat / mean.value - 1));
    ++counts.seed;
  }
  return out;
}

void run() {
  const oracle::Scene scene = oracle::low_sun();
  double start = processor_seconds();
  const oracle::Program program(scene);
  const double prepared = processor_seconds() - start;
  const rakelight::Scene table = scene_of(program);
  Headless context;
  View view;
  view.surface = 0;
  view.region = {{1.3, 0.625}, {3.7, 1.975}};
  view.eye = eye;
  view.target = program.room.surfaces[0].frame.world_from_surface({2.5, 1.3}, 0);
  view.width = width;
  view.height = height;
  Image both = render_both(context, table, view);   // compiles the passes
  std::vector<double> pictures;
  for (int i = 0; i < 3; ++i) {
    start = processor_seconds();
    both = render_both(context, table, view);
    pictures.push_back(processor_seconds() - start);
  }
  const double picture = share_of(pictures, 0.5);
  std::printf("%s: %d x %d pixels, %s\n", scene.name.c_str(), width, height, context.description().c_str());
  std::printf("picture, with relief and as if flat: %.2f s of processor time; the room's light, once a room: %.2f s\n", picture, prepared);
  const oracle::World world(scene.plan);
  const std::vector<Tried> tried = pixels_of(both, view);
  for (int samples = 32; samples <= 65536; samples *= 2) {
    const Traced traced = trace(world, tried, samples);
    const double error = share_of(traced.error, 0.5), seconds = share_of(traced.seconds, 0.5) * width * height;
    std::printf("traced, %5d samples a source and as many paths: standard error %.2f %% at half of %d pixels, %.0f s for the picture as if flat\n", samples,
                100 * error, pixels_tried, seconds);
    if (error > aim) continue;
    std::printf("picture against all traced: off by %.2f %% at half, %.2f %% at 95 of 100\n", 100 * share_of(traced.off, 0.5), 100 * share_of(traced.off, 0.95));
    std::printf("the picture is there %.0f times as soon; with the room's light made for it alone, %.0f times\n", seconds / picture, seconds / (picture + prepared));
    return;
  }
  throw std::runtime_error("traced paths did not come to one per cent");
}

}  // namespace

int main() {
  try {
    run();
    return 0;
  } catch (const std::exception& error) {
    std::fprintf(stderr, "%s\n", error.what());
    return 1;
  }
}
