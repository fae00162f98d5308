// How long pictures take on this machine's OpenGL, without a display: the demo room in low evening sun with four lamps lit
// and its walls in a satin paint. Nothing is read from disk, so that the program runs where only its libraries are.
//   cmake --preset release -DRAKELIGHT_TESTS=ON && cmake --build --preset release --target rakelight_picture_bench
//   build/release/rakelight_picture_bench [--size 2560x1440] [--seconds 3] [--path fragment|compute] [--view wall|room] [--lamps 4]
//     [--passes]: of every pass what a graphics card's own clock or the processors' says, and what the passes take with a part of the physics left out
//     [--arithmetic]: the same loop done by fragments and by a compute shader, and nothing else
//     [--drag]: pictures as the window draws them while something is dragged, alone
//     [--fit yes|no]: by shaders made for what the scene lacks, or by those that draw any scene
//     [--shaders FOLDER]: shaders read from a folder, to try some without building
#include <glad/gl.h>

#include <algorithm>
#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <ctime>
#include <fstream>
#include <functional>
#include <iterator>
#include <memory>
#include <stdexcept>
#include <string>
#include <vector>

#include "assess/assess.h"
#include "bench/pictures/arithmetic.h"
#include "draw/draw.h"
#include "draw/renderer.h"
#include "draw/source.h"
#include "embedded_assets.h"
#include "job/read.h"

namespace {

using namespace rakelight;
using Clock = std::chrono::steady_clock;

struct Options {
  int width = 2560, height = 1440, lamps = 4;
  double seconds = 3;
  bool passes = false, drag = false, arithmetic = false;
  std::string path, view, fit, shaders;
};

double seconds_since(Clock::time_point start) { return std::chrono::duration<double>(Clock::now() - start).count(); }

void replace_once(std::string& text, const std::string& from, const std::string& to) {
  const auto at = text.find(from);
  if (at == std::string::npos) throw std::runtime_error("the demo has no " + from);
  text.replace(at, from.size(), to);
}

/// The demo with three more lamps, all lit in the evening sun, and satin on the long wall; without lamps the demo itself.
std::string bench_job(int lamps_lit) {
  std::string text(embedded_assets("demo/home.toml"));
  if (lamps_lit == 0) return text;
  std::string lamps;
  for (const char* at : {"[200, 1200, 2650]", "[200, 4800, 2650]", "[2100, 3100, 2650]"})
    lamps += std::string("[[lamp]]\nkind = \"downlight\"\nat = ") + at + "\nsize = 80\nflux = 700\nbeam = 60\ngroup = \"evening\"\n\n";
  replace_once(text, "[[surface]]", lamps + "[[surface]]");
  replace_once(text, "paint = \"matt\"", "paint = \"satin\"");
  replace_once(text, "lamps = \"off\"", "lamps = \"on\"");
  return text;
}

/// Middle and least time of what is done again and again for about so long, at least three times, after once unmeasured.
struct Times { double middle = 0, least = 0, processor = 0; int count = 0; };
Times times_of(double seconds, const std::function<void(int)>& work) {
  work(0);
  std::vector<double> all;
  const auto start = Clock::now();
  const std::clock_t processor = std::clock();
  while (all.size() < 3 || seconds_since(start) < seconds) {
    const auto begin = Clock::now();
    work(static_cast<int>(all.size()) + 1);
    all.push_back(seconds_since(begin));
  }
  Times t;
  t.count = static_cast<int>(all.size());
  t.processor = static_cast<double>(std::clock() - processor) / CLOCKS_PER_SEC / t.count;
  std::sort(all.begin(), all.end());
  t.middle = all[all.size() / 2];
  t.least = all.front();
  return t;
}

void print(const char* what, const Times& t) {
  std::printf("  %-44s %9.2f ms (least %.2f; processors %.1f; %d times)\n", what, 1e3 * t.middle, 1e3 * t.least, 1e3 * t.processor, t.count);
}

/// The eye a little aside, so that no picture is the one before.
View moved(View view, int step) {
  view.eye.x += 0.001 * (step % 50);
  return view;
}

/// What the window draws while something is dragged.
View dragged(View view) {
  view.draft = true;
  view.width = (view.width + 3) / 4;
  view.height = (view.height + 3) / 4;
  return view;
}

/// Middle times of each step when pictures follow each other: of a graphics card by its own clock; of a software rasteriser, which has
/// none, by what all processors spent until the step was done.
void print_passes(Renderer& renderer, const Scene& scene, const View& view, const char* what) {
  const bool card = renderer.device().find("llvmpipe") == std::string::npos;
  const std::size_t pictures = card ? 15 : 5;
  renderer.draw(scene, view);
  glFinish();
  std::vector<std::vector<StepTime>> all(pictures);
  for (std::size_t i = 0; i < pictures; ++i) {
    renderer.time_steps(&all[i], card ? Renderer::StepClock::device : Renderer::StepClock::wall);
    renderer.draw(scene, moved(view, static_cast<int>(i)));
    glFinish();
  }
  renderer.time_steps(nullptr);
  const auto middle = [&](std::size_t step, double StepTime::*time) {
    std::vector<double> values;
    for (const auto& one : all) values.push_back(one[step].*time);
    std::sort(values.begin(), values.end());
    return values[values.size() / 2];
  };
  std::printf("  %s, %s, ms:", what, card ? "the device's clock (the processor's until asked for)" : "of all processors (by the clock)");
  double sum = 0, beside = 0;
  for (std::size_t i = 0; i < all.front().size(); ++i) {
    const double time = middle(i, card ? &StepTime::device : &StepTime::processor), other = middle(i, &StepTime::seconds);
    sum += time;
    beside += other;
    std::printf(" %s %.3f (%.3f);", all.front()[i].step.c_str(), 1e3 * time, 1e3 * other);
  }
  std::printf(" all %.3f (%.3f)\n", 1e3 * sum, 1e3 * beside);
}

/// A part of the physics left out of the passes' text.
struct Without { const char *what, *file, *from, *to; };
constexpr Without parts[] = {
    {"lamps", "passes/pixels.glsl", "int lamps = lamp_count();", "int lamps = 0;"},
    {"relief", "passes/faces_body.glsl", "Facet facet = scene_relief(surface, meets.p, meets.side);", "Facet facet = flat_facet();"},
    {"the table of sheen", "passes/pixels.glsl", "SheenFit fit = sheen_between(place.surface, place.p, facet.slope, relief, place.coat.base * light.z / 3.141592653589793);",
     "SheenFit fit = SheenFit(0.0, 0.0, 0.0, 1.0e30, true, true, true);"},
    {"the light's grid", "passes/faces_body.glsl", "field_light(surface, meets.p)", "vec4(0.0, 0.0, 300.0, 0.0)"},
    {"the room's rays in the table", "passes/sheen_nodes_body.glsl", "share.room = room_rays(place, f, each_ray * first, each_ray * each);", ""},
};
/// Compiles the passes once for each part. Told of the passes that a part stands in.
void measure_without(const Scene& scene, const View& view) {
  for (const Without& part : parts) {
    const auto start = Clock::now();
    Renderer renderer([&part](const std::string& path) {
      std::string text(embedded_loader()(path));
      if (path == part.file) replace_once(text, part.from, part.to);
      return text;
    });
    std::printf("without %s (compiled in %.1f s):\n", part.what, seconds_since(start));
    print_passes(renderer, scene, view, "at rest");
    print_passes(renderer, scene, dragged(view), "a draft a quarter as wide");
  }
}

void measure(Renderer& renderer, const Scene& scene, const View& view, const Options& options) {
  const double seconds = options.seconds;
  if (options.passes) {
    View draft = view;
    draft.draft = true;
    if (!options.drag) {
      print_passes(renderer, scene, view, "at rest");
      print_passes(renderer, scene, draft, "a draft at full size");
    }
    print_passes(renderer, scene, dragged(view), "a draft a quarter as wide");
  }
  const auto drawn = [&](const View& v) {
    return times_of(seconds, [&](int step) {
      renderer.draw(scene, moved(v, step));
      glFinish();
    });
  };
  if (options.drag) return print("dragging, as the window does: a quarter as wide", drawn(dragged(view)));
  const Times rest = drawn(view);
  print("at rest, drawn", rest);
  std::printf("  %-44s %9.3g, drawn a second time %.2f %% for what is hidden, %.2f %% for flat faces, %.2f %% for tilted facets, %.2f %% by the kernels\n", "pixels x lamps a second", static_cast<double>(view.width) * view.height * options.lamps / rest.middle,
              100.0 * renderer.drawn_for_hidden() / (static_cast<double>(view.width) * view.height),
              100.0 * renderer.drawn_for_flats() / (static_cast<double>(view.width) * view.height),
              100.0 * renderer.drawn_for_tilts() / (static_cast<double>(view.width) * view.height),
              100.0 * renderer.drawn_by_kernels() / (static_cast<double>(view.width) * view.height));
  View draft = view;
  draft.draft = true;
  print("dragging, drawn at full size as a draft", drawn(draft));
  print("dragging, as the window does: a quarter as wide", drawn(dragged(view)));
  print("at rest, read back and made grey levels too", times_of(seconds, [&](int step) { const Image both = renderer.both(scene, moved(view, step));
    Image luminance(both.width, both.height, 1);
    for (std::size_t i = 0; i < luminance.pixels.size(); ++i) luminance.pixels[i] = both.pixels[3 * i];
    display(luminance, 300);
  }));
  std::vector<StepTime> steps;
  renderer.time_steps(&steps);
  renderer.draw(scene, view);
  glFinish();
  renderer.time_steps(nullptr);
  std::printf("  one at rest, step by step (and of the processors):");
  for (const StepTime& s : steps) std::printf(" %s %.2f (%.1f);", s.step.c_str(), 1e3 * s.seconds, 1e3 * s.processor);
  std::printf("\n");
}

void run(const Options& options) {
  std::setvbuf(stdout, nullptr, _IOLBF, 0);
  if (options.arithmetic) {
    Headless context;
    std::printf("%s\n", context.description().c_str());
    context.renderer();
    return compare_arithmetic(options.width, options.height);
  }
  const std::string text = bench_job(options.lamps);
  Diagnostics diagnostics;
  const auto job = read_job(JobText(text), diagnostics);
  if (!job) throw std::runtime_error(diagnostics.to_text("bench", text));
  const auto study = make_study(*job, diagnostics);
  if (!study) throw std::runtime_error("the demo makes no study");
  LightDetail detail;
  for (int s = 0; s < static_cast<int>(study->room.surfaces.size()); ++s) detail.fields.push_back(s);
  const Lighting lighting = make_lighting(study->job, study->room, make_basis(study->job, study->room, detail), study->moments.front());
  if (lighting.lamps.size() != static_cast<std::size_t>(options.lamps)) throw std::runtime_error("not all lamps are lit");
  const Scene scene = make_scene(study->room, lighting, make_reliefs(*study), study->paints);

  auto start = Clock::now();
  Headless context;
  std::unique_ptr<Renderer> own;
  if (!options.shaders.empty()) {
    context.renderer();
    own = std::make_unique<Renderer>([&](const std::string& file) {
      std::ifstream in(options.shaders + "/" + file);
      return std::string(std::istreambuf_iterator<char>(in), {});
    });
  }
  Renderer& renderer = own ? *own : context.renderer();
  if (!options.fit.empty()) renderer.fit_to_scenes(options.fit == "yes");
  std::printf("GL_RENDERER: %s\nOpenGL %s, %s\n", renderer.device().c_str(), renderer.version().c_str(), context.description().c_str());
  std::printf("context and %s shaders: %.2f s\n", renderer.by_compute() ? "compute" : "fragment", seconds_since(start));
  std::printf("demo room, low sun, sky, %d lamps, %s wall, %d x %d, scene %zu rows\n", options.lamps, options.lamps > 0 ? "satin" : "matt", options.width, options.height, scene.rows.size());
  const View wall = square_on_view(study->room, study->room.find("long"), study->viewers.front().eye, options.width, options.height);
  View room;
  room.kind = View::Kind::perspective;
  room.width = options.width;
  room.height = options.height;
  room.eye = {3.6, 0.6, 1.6};
  room.target = {0.6, 5.0, 1.2};
  start = Clock::now();
  renderer.draw(scene, room);
  glFinish();
  std::printf("first picture: %.2f s\n", seconds_since(start));
  for (const std::string path : {"fragment", "compute"}) {
    if (!options.path.empty() && options.path != path) continue;
    const bool computes = path == "compute";
    if (computes && !Renderer::can_compute()) {
      std::printf("no compute shaders: OpenGL %s\n", renderer.version().c_str());
      continue;
    }
    if (computes != renderer.by_compute()) {
      start = Clock::now();
      renderer.draw_by_compute(computes);
      std::printf("%s shaders: %.2f s\n", path.c_str(), seconds_since(start));
      start = Clock::now();
      renderer.draw(scene, room);
      glFinish();
      std::printf("first picture by them: %.2f s\n", seconds_since(start));
    }
    for (const bool square : {true, false}) {
      if (!options.view.empty() && options.view != (square ? "wall" : "room")) continue;
      std::printf("%s shaders, %s:\n", path.c_str(), square ? "the long wall square on" : "the room from its door");
      measure(renderer, scene, square ? wall : room, options);
    }
  }
  if (options.passes && !options.drag) measure_without(scene, options.view == "room" ? room : wall);
}

Options parse(int count, char** words) {
  Options options;
  const auto wrong = [](const std::string& word) { throw std::runtime_error("not understood: " + word + "\nusage: [--size WxH] [--seconds N] [--path fragment|compute] [--view wall|room] [--lamps 0|4] [--fit yes|no] [--shaders FOLDER] [--passes] [--drag] [--arithmetic]"); };
  for (int i = 1; i < count; ++i) {
    const std::string word = words[i];
    if (word == "--passes" || word == "--drag" || word == "--arithmetic") {
      (word == "--passes" ? options.passes : word == "--drag" ? options.drag : options.arithmetic) = true;
      continue;
    }
    const std::string value = i + 1 < count ? words[++i] : "";
    if (word == "--size") {
      if (std::sscanf(value.c_str(), "%dx%d", &options.width, &options.height) != 2) wrong(word + " " + value);
    } else if (word == "--seconds") {
      options.seconds = std::atof(value.c_str());
    } else if (word == "--lamps" && (value == "0" || value == "4")) {
      options.lamps = std::atoi(value.c_str());
    } else if (word == "--fit" && (value == "yes" || value == "no")) {
      options.fit = value;
    } else if (word == "--shaders" && !value.empty()) {
      options.shaders = value;
    } else if (word == "--path" && (value == "fragment" || value == "compute")) {
      options.path = value;
    } else if (word == "--view" && (value == "wall" || value == "room")) {
      options.view = value;
    } else {
      wrong(word + " " + value);
    }
  }
  return options;
}

}  // namespace

int main(int count, char** words) {
  try {
    run(parse(count, words));
    return 0;
  } catch (const std::exception& error) {
    std::fprintf(stderr, "%s\n", error.what());
    return 1;
  }
}
