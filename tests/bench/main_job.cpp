// How long the main job takes on the demo. Machines differ, so every figure also stands as a multiple of a yardstick
// measured in the same run: ten million dependent multiply-adds.
//   cmake --preset release -DRAKELIGHT_TESTS=ON && cmake --build --preset release --target rakelight_bench
//   build/release/rakelight_bench
#include <benchmark/benchmark.h>

#include <chrono>
#include <cmath>
#include <fstream>
#include <iterator>
#include <stdexcept>

#include "advice/counsel.h"
#include "base/large_memory.h"
#include "bench/clock.h"
#include "draw/draw.h"
#include "job/read.h"

namespace {

using namespace rakelight;
using namespace rakelight::bench;

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
/// As the first thing that a process does: nothing planned, tabulated or taken from the system yet. Its figure holds where no other
/// case ran before: --benchmark_filter=assess_demo_first.
BENCHMARK(assess_demo)->Name("assess_demo_first")->Iterations(1)->Unit(benchmark::kMillisecond);
BENCHMARK(assess_demo)->Unit(benchmark::kMillisecond);

void advise_demo(benchmark::State& state) {
  const auto s = study();
  measure(state, [&] { benchmark::DoNotOptimize(advise(*s)); });
}
BENCHMARK(advise_demo)->Unit(benchmark::kMillisecond);

/// All that a first asking for one wall's cures takes: levers, sketch, every look, light behind covers and of lamps moved, five
/// questions, single changes and words. What assess and advise found is there already. Budget: 0.2 s on two idle cores.
void cures_of_one_wall(benchmark::State& state) {
  const auto s = study();
  const Assessment found = assess(*s);
  const Advice advice = advise(*s, found);
  double cpu = 0;
  int looks = 0;
  measure(state, [&] {
    const double before = cpu_seconds();
    const SurfaceCures cures = cures_of(*s, advice.surfaces.front(), found.surfaces.front(), 0.05);
    cpu += cpu_seconds() - before;
    looks = cures.looks;
  });
  state.counters["cpu_ms"] = 1e3 * cpu / static_cast<double>(state.iterations());
  state.counters["mixes_looked_at"] = looks;
}
BENCHMARK(cures_of_one_wall)->Unit(benchmark::kMillisecond);

/// Of that the first search alone, for the least work of all: all mixes priced, sorted, sketched, and looked at until one holds. Levers
/// and the sketch's own looks are made before and not counted; nothing of the search itself is remembered.
void search_of_one_wall(benchmark::State& state) {
  const auto s = study();
  const Assessment found = assess(*s);
  const Advice advice = advise(*s, found);
  const Sketch fresh(*s, advice.surfaces.front(), found.surfaces.front());
  double total = 0;
  for (auto _ : state) {
    Sketch sketch = fresh;
    const auto start = Clock::now();
    benchmark::DoNotOptimize(least_work(sketch, 0.05));
    state.SetIterationTime(seconds_since(start));
    total += seconds_since(start);
  }
  state.counters["yardsticks"] = total / static_cast<double>(state.iterations()) / yardstick();
}
BENCHMARK(search_of_one_wall)->Unit(benchmark::kMillisecond)->UseManualTime();

void counsel_demo(benchmark::State& state) {
  const auto s = study();
  const Assessment found = assess(*s);
  const Advice advice = advise(*s, found);
  measure(state, [&] { benchmark::DoNotOptimize(counsel(*s, found, advice)); });
}
BENCHMARK(counsel_demo)->Unit(benchmark::kMillisecond);

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

Job read_hall(const std::string& text) {
  Diagnostics diagnostics;
  auto read = read_job(JobText(text), diagnostics);
  if (!read) throw std::runtime_error(diagnostics.to_text("hall.toml", text));
  return *read;
}

/// A hall whose ceiling is screwed throughout: at 40 m about 400 joints between sheets and 5,000 fixings, at 20 m a quarter.
Job hall(int metres) {
  const std::string length = std::to_string(metres * 1000), width = std::to_string(metres * 750);
  const std::string text = "[room]\ncorners = [[0, 0], [0, " + length + "], [" + width + ", " + length + "], [" + width + ", 0]]\nheight = 3600\n" +
                           "[[lamp]]\nkind = \"pendant\"\nat = [" + std::to_string(metres * 375) + ", " + std::to_string(metres * 500) + ", 3300]\n" +
                           "[[surface]]\nname = \"ceiling\"\nsheet = [1200, 3000]\nfixing = \"screws\"\nfixing_spacing = 230\n" +
                           "[[moment]]\nsky = \"none\"\nlamps = \"on\"\n[[viewer]]\neye = [2000, 2000, 1600]\nlook = \"ceiling\"\n";
  return read_hall(text);
}

/// Heights at a million places: must not hang on how many joints and fixings there are.
void relief_of_a_hall(benchmark::State& state) {
  Diagnostics diagnostics;
  const Job job = hall(static_cast<int>(state.range(0)));
  const auto room = make_room(job, diagnostics);
  const Layout layout = lay_sheets(job, *room, room->ceiling(), Run::horizontal);
  const Relief relief = make_relief(job, layout, *scheme("c840")->find("4"), *workmanship("everyday"));
  const Rect box = room->surfaces[room->ceiling()].box;
  measure(state, [&] {
    double sum = 0;
    for (int i = 0; i < 1'000'000; ++i)
      sum += relief_at(relief, box.lo + dvec2(std::fmod(i * 0.6180339887, 1.0), std::fmod(i * 0.7548776662, 1.0)) * (box.hi - box.lo)).h;
    benchmark::DoNotOptimize(sum);
  });
  int joints = 0, fixings = 0;
  for (const JointLine& j : layout.joints) j.kind == JointKind::fixings ? fixings += static_cast<int>(j.spots.size()) : ++joints;
  state.counters["joints"] = joints;
  state.counters["fixings"] = fixings;
}
BENCHMARK(relief_of_a_hall)->Arg(20)->Arg(40)->Unit(benchmark::kMillisecond);

/// Laying, building and judging: a share of a second a joint, the same in both.
void assess_a_hall(benchmark::State& state) {
  Diagnostics diagnostics;
  LightDetail coarse;  // the light of a hall is not what is measured
  coarse.patch = 2;
  const auto s = make_study(hall(static_cast<int>(state.range(0))), diagnostics, coarse);
  if (!s) throw std::runtime_error("the hall does not assess");
  std::size_t lines = 0;
  double seconds = 0;
  measure(state, [&] {
    const auto start = Clock::now();
    lines = assess(*s).surfaces[0].joints.size();
    seconds += seconds_since(start);
  });
  state.counters["lines"] = static_cast<double>(lines);
  state.counters["ms_per_line"] = 1e3 * seconds / static_cast<double>(state.iterations()) / static_cast<double>(lines);
}
BENCHMARK(assess_a_hall)->Arg(20)->Arg(40)->Unit(benchmark::kMillisecond);

/// A long wall of a hall, raked by a window and a downlight at its far end: at 12 m 21 lines, at 36 m 61.
Job raked_hall(int metres) {
  const std::string length = std::to_string(metres * 1000);
  const std::string text = "[site]\nlatitude = 51.5\nlongitude = 0\ntime_zone = \"Europe/London\"\nnorth = 293\n[room]\ncorners = [[0, 0], [0, " + length + "], [8000, " + length +
                           "], [8000, 0]]\nheight = 4800\n[[window]]\nwall = \"B\"\nfrom_left = 300\nsill = 800\nwidth = 3000\nheight = 2400\n" +
                           "[[lamp]]\nkind = \"downlight\"\nat = [200, " + std::to_string(metres * 1000 - 4000) + ", 4800]\nflux = 1500\nbeam = 60\n" +
                           "[[surface]]\nname = \"A\"\nrun = \"horizontal\"\nsheet = [1200, 2400]\npaint = \"low-sheen\"\n" +
                           "[[moment]]\nat = 2026-06-21T19:40:00\n[[moment]]\nsky = \"none\"\nlamps = \"on\"\n";
  return read_hall(text);
}

/// Cures and lamps that come later: no more a line in the long one than in the short one.
void counsel_a_hall(benchmark::State& state) {
  Diagnostics diagnostics;
  const auto s = make_study(raked_hall(static_cast<int>(state.range(0))), diagnostics);
  if (!s) throw std::runtime_error("the hall does not assess");
  const Assessment found = assess(*s);
  const Advice advice = advise(*s, found);
  double cpu = 0;
  int looks = 0;
  measure(state, [&] {
    const double before = cpu_seconds();
    const Counsel all = counsel(*s, found, advice);
    cpu += cpu_seconds() - before;
    looks = all.surfaces.front().cures.looks;
  });
  const double lines = static_cast<double>(found.surfaces.front().joints.size()), each = static_cast<double>(state.iterations());
  state.counters["lines"] = lines;
  state.counters["mixes_looked_at"] = looks;
  state.counters["cpu_ms_per_line"] = 1e3 * cpu / each / lines;
}
BENCHMARK(counsel_a_hall)->Arg(12)->Arg(36)->Unit(benchmark::kMillisecond);

}  // namespace

int main(int count, char** words) {
  // as the program does
  rakelight::settle_memory();
  benchmark::Initialize(&count, words);
  if (benchmark::ReportUnrecognizedArguments(count, words)) return 1;
  benchmark::RunSpecifiedBenchmarks();
  benchmark::Shutdown();
}
