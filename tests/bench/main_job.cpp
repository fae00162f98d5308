// How long the main job takes on the demo. Machines differ, so every figure also stands as a multiple of a yardstick
// measured in the same run: ten million dependent multiply-adds.
//   cmake --preset release -DRAKELIGHT_TESTS=ON && cmake --build --preset release --target rakelight_bench
//   build/release/rakelight_bench
#include <benchmark/benchmark.h>

#include <chrono>
#include <fstream>
#include <iterator>
#include <stdexcept>
#include <sys/resource.h>

#include "advice/advice.h"
#include "draw/draw.h"
#include "job/read.h"

namespace {

using namespace rakelight;
using Clock = std::chrono::steady_clock;

double seconds_since(Clock::time_point start) { return std::chrono::duration<double>(Clock::now() - start).count(); }

/// Seconds for ten million dependent multiply-adds; the best of five.
double yardstick() {
  static const double value = [] {
    double best = 1e9;
    for (int repeat = 0; repeat < 5; ++repeat) {
      const auto start = Clock::now();
      double x = 0.5;
      for (int i = 0; i < 10'000'000; ++i) x = 0.999999 * x + 1e-7;
      benchmark::DoNotOptimize(x);
      best = std::min(best, seconds_since(start));
    }
    return best;
  }();
  return value;
}

const Job& demo() {
  static const Job job = [] {
    std::ifstream in(RAKELIGHT_SOURCE_DIR "/assets/demo/home.toml");
    const JobText text(std::string(std::istreambuf_iterator<char>(in), {}));
    Diagnostics diagnostics;
    auto read = read_job(text, diagnostics);
    if (!read) throw std::runtime_error(diagnostics.to_text("home.toml", text.text()));
    return *read;
  }();
  return job;
}

std::unique_ptr<Study> study() {
  Diagnostics diagnostics;
  auto made = make_study(demo(), diagnostics);
  if (!made) throw std::runtime_error("the demo does not assess");
  return made;
}

/// Largest resident size so far, MB.
double peak_memory() {
  rusage usage{};
  getrusage(RUSAGE_SELF, &usage);
  return static_cast<double>(usage.ru_maxrss) / 1024.0;
}

template <class Work>
void measure(benchmark::State& state, Work work) {
  double total = 0;
  for (auto _ : state) {
    const auto start = Clock::now();
    work();
    total += seconds_since(start);
  }
  state.counters["yardsticks"] = total / static_cast<double>(state.iterations()) / yardstick();
  state.counters["peak_MB"] = peak_memory();
}

void assess_demo(benchmark::State& state) {
  measure(state, [] {
    const auto s = study();
    benchmark::DoNotOptimize(assess(*s));
  });
}
BENCHMARK(assess_demo)->Unit(benchmark::kMillisecond);

void advise_demo(benchmark::State& state) {
  const auto s = study();
  measure(state, [&] { benchmark::DoNotOptimize(advise(*s)); });
}
BENCHMARK(advise_demo)->Unit(benchmark::kMillisecond);

/// With field grids on all six faces, as a picture of the room needs them.
void basis_of_one_room(benchmark::State& state) {
  Diagnostics diagnostics;
  const auto room = make_room(demo(), diagnostics);
  LightDetail detail;
  for (int s = 0; s < static_cast<int>(room->surfaces.size()); ++s) detail.fields.push_back(s);
  measure(state, [&] { benchmark::DoNotOptimize(make_basis(demo(), *room, detail)); });
}
BENCHMARK(basis_of_one_room)->Unit(benchmark::kMillisecond);

void picture_1080(benchmark::State& state) {
  const auto s = study();
  LightDetail detail;
  const int wall = s->room.find("long");
  detail.fields = {wall};
  const Lighting lighting = make_lighting(s->job, s->room, make_basis(s->job, s->room, detail), s->moments.front());
  const Scene scene = make_scene(s->room, lighting, make_reliefs(*s), s->paints);
  Headless context;
  const View view = square_on_view(s->room, wall, s->viewers.front().eye, 1920, 1080);
  measure(state, [&] { benchmark::DoNotOptimize(render(context, scene, view)); });
}
BENCHMARK(picture_1080)->Unit(benchmark::kMillisecond);

}  // namespace

BENCHMARK_MAIN();
