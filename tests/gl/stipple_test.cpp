// Stipple in pictures: its statistics against the spectrum it stands for, its pixels against the kernels in double.
#include <catch2/catch.hpp>

#include <cmath>
#include <limits>
#include <numbers>
#include <string>

#include "base/random.h"
#include "draw/stipple.h"
#include "gl/agreement.h"
#include "kernel/stipple.h"
#include "support/validated.h"

using namespace rakelight;
using namespace rakelight::testing;

namespace {

constexpr double rms = 17.5e-6, pitch = 4.5e-3;   // a nap of 12 mm, as assets/paints has it

dvec2 slope_at(dvec2 p, dvec2 a, dvec2 b, double wavelength = pitch) {
  kernel::StippleKernels k{stipple_waves().data()};
  return k.stipple_slope(p, a, b, rms, wavelength);
}

/// Mean squares of the slope along x and y, and the mean product of two stipples' slopes along x.
dvec3 moments(dvec2 a, dvec2 b) {
  Random random(5);
  dvec3 sum(0);
  const int count = 40000;
  for (int i = 0; i < count; ++i) {
    const dvec2 p{6 * random.uniform(), 2.5 * random.uniform()}, s = slope_at(p, a, b);
    sum += dvec3(s.x * s.x, s.y * s.y, s.x * slope_at(p, a, b, 6e-3).x);
  }
  return sum / static_cast<double>(count);
}

/// Mean square of the slope along x averaged over a square, from the spectrum rms² pitch²/π exp(−(k pitch)²), by quadrature.
double mean_square(double side) {
  double sum = 0;
  const double step = 0.02, most = 5;
  const auto left = [](double x) { return x == 0 ? 1 : std::sin(pi * x) / (pi * x); };
  for (double kx = -most; kx <= most; kx += step)
    for (double ky = -most; ky <= most; ky += step) {
      const double height = left(kx * side / pitch) * left(ky * side / pitch);
      sum += step * step / pi * std::exp(-kx * kx - ky * ky) * std::pow(2 * pi * kx * rms / pitch * height, 2);
    }
  return sum;
}

/// The picture tests' wall with a stipple.
Scene stippled(Scene scene) {
  kernel::SceneKernels k{scene.rows.data()};
  scene.rows[static_cast<std::size_t>(k.surface_row(0, 18))] = {rms, pitch, 0, 0};
  return scene;
}

/// Where the ray of an image point meets the wall's plane, m.
dvec2 on_wall(const Scene& scene, const Camera& camera, double x, double y) {
  kernel::SceneKernels k{const_cast<dvec4*>(scene.rows.data())};
  const auto frame = k.surface_frame(0);
  const dvec3 from = k.face_from_world(frame, camera.eye), d = k.face_direction(frame, camera.direction(x, y));
  return dvec2(from) - from.z / d.z * dvec2(d);
}

}  // namespace

TEST_CASE("slopes of a stipple are those of its spectrum, as points and as means over pixels") {
  test::Validated found("pictures: mean square of a stipple's slopes, pixels of 0 to 6 mm", "its power spectrum, by quadrature", "5 %");
  const dvec2 none(0);
  const dvec3 points = moments(none, none);
  // in closed form 2 (π rms / pitch)²
  CHECK(mean_square(0) == Approx(2 * std::pow(pi * rms / pitch, 2)).epsilon(1e-3));
  double off = 0;
  for (const double side : {0.0, 1e-3, 3e-3, 6e-3}) {
    const dvec3 found_here = moments({side, 0}, {0, -side});
    off = std::max({off, std::abs(found_here.x / mean_square(side) - 1), std::abs(found_here.y / mean_square(side) - 1)});
  }
  CHECK(found.off(off) < 0.05);
  // two stipples are of independent origin
  CHECK(std::abs(points.z) < 0.02 * points.x);
}

TEST_CASE("pixels with stipple are those that the kernels give in double, with relief and as if flat") {
  test::Validated found("pictures: contrast with stipple against the same without, of 500 pixels", "the same kernels in double", "2 % and 0.001, of which the table of sheen has half");
  Headless context;
  const Scene scene = stippled(drawn_scene());
  for (View view : {wall_view(480, 320), room_view(480, 320)}) {
    if (view.kind == View::Kind::square_on) view.region = {{2.6, 0.2}, {3.2, 0.6}};
    view.stipple = true;
    const Image grained = context.renderer().both(scene, view);
    view.stipple = false;
    const Image plain = context.renderer().both(scene, view);
    const Camera camera = camera_of(scene, view);
    kernel::SceneKernels k = kernels_of(scene);
    Random random(21);
    int pixels = 0, of_joints = 0;
    double over = 0, most = 0;
    for (int tries = 0; pixels < 250 && tries < 20000; ++tries) {
      const int x = static_cast<int>(random.uniform() * view.width), y = static_cast<int>(random.uniform() * view.height);
      const Expected expected = expected_pixel(scene, camera, x, y);
      if (!expected.usable || expected.surface != 0) continue;
      const dvec2 p = on_wall(scene, camera, x + 0.5, y + 0.5);
      const dvec2 right = on_wall(scene, camera, x + 1, y + 0.5) - on_wall(scene, camera, x, y + 0.5), down = on_wall(scene, camera, x + 0.5, y + 1) - on_wall(scene, camera, x + 0.5, y);
      const auto hit = k.scene_trace(camera.eye, camera.direction(x + 0.5, y + 0.5));
      auto facet = k.scene_relief(0, p, camera.facing == 0 ? camera.footprint : camera.footprint_angle * hit.range);
      const bool relief = facet.h != 0 || facet.slope != dvec2(0);
      auto bare = k.flat_facet();
      bare.slope = slope_at(p, right, down);
      facet.slope += bare.slope;
      const auto place = k.place_of(0, p, camera.eye);
      const auto light = k.field_light(0, p);
      const double with = k.shade_facet(place, light, facet).luminance, flat = k.shade_facet(place, light, bare).luminance, smooth = expected.shaded.flat_luminance;
      if (smooth < 1) continue;
      ++pixels;
      of_joints += relief;
      const double as_drawn[2] = {grained.at(x, y, 0), grained.at(x, y, 1)}, in_double[2] = {with, flat};
      for (int i = 0; i < 2; ++i) {
        const double contrast = in_double[i] / smooth - 1;
        over = std::max(over, std::abs(as_drawn[i] / plain.at(x, y, 1) - 1 - contrast) / (0.001 + 0.02 * std::abs(contrast)));
        most = std::max(most, std::abs(contrast));
      }
    }
    INFO("pixels " << pixels << ", of joints " << of_joints << ", largest contrast " << most << ", over the allowance " << over);
    CHECK(pixels == 250);
    CHECK(of_joints > 20);
    CHECK(most > 0.02);
    CHECK(found.off(0.02 * over) < 0.02);
  }
}

TEST_CASE("stipple comes and goes, and a scene without it is drawn as ever") {
  Headless context;
  View view = wall_view(160, 80), grain = view;
  grain.stipple = true;
  const Scene with = stippled(drawn_scene());
  const Image before = context.renderer().both(with, view), stipple = context.renderer().both(with, grain), after = context.renderer().both(with, view);
  CHECK(before.pixels == after.pixels);
  CHECK(before.pixels != stipple.pixels);
  CHECK(context.renderer().both(drawn_scene(), grain).pixels == context.renderer().both(drawn_scene(), view).pixels);
}

TEST_CASE("computed stipple is the drawn one") {
  Headless context;
  if (!Renderer::can_compute()) return;
  View view = room_view(160, 90);
  view.stipple = true;
  const Scene scene = stippled(drawn_scene());
  const Image drawn = context.renderer().both(scene, view);
  context.renderer().draw_by_compute(!context.renderer().by_compute());
  const Image computed = context.renderer().both(scene, view);
  double off = 0;
  for (std::size_t i = 0; i < drawn.pixels.size(); ++i)
    if (i % 3 < 2) off = std::max(off, static_cast<double>(std::abs(drawn.pixels[i] - computed.pixels[i])) / std::max(1.0f, drawn.pixels[i]));
  CHECK(off < 1e-3);
}
