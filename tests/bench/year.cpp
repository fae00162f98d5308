// The demo's year: what it costs, apart from the basis that it stands on, and how much dearer every step would be by assess itself.
#include <benchmark/benchmark.h>

#include <chrono>
#include <fstream>
#include <iterator>
#include <stdexcept>

#include "assess/year.h"
#include "bench/clock.h"
#include "job/read.h"

namespace {

using namespace rakelight;
using namespace rakelight::bench;

std::unique_ptr<Study> demo_study() {
  std::ifstream in(RAKELIGHT_SOURCE_DIR "/assets/demo/home.toml");
  const JobText text(std::string(std::istreambuf_iterator<char>(in), {}));
  Diagnostics diagnostics;
  std::unique_ptr<Study> study;
  if (const auto job = read_job(text, diagnostics)) study = make_study(*job, diagnostics);
  if (!study) throw std::runtime_error(diagnostics.to_text("home.toml", text.text()));
  return study;
}

/// One look at every face by assess, its light worked out from a basis of the same fineness.
double one_step_by_assess(Study& study, const std::shared_ptr<const LightBasis>& basis) {
  const auto start = Clock::now();
  Moment moment;
  moment.name = "then";
  moment.sky = make_sky(study.job.site, DaySun::position(*study.job.site.latitude_deg * 0.017453292519943295, {0.6, 0.2}), clear_type);
  moment.lamp_on.assign(study.job.lamps.size(), 0.0);
  study.moments.push_back(moment);
  study.lighting.push_back(make_lighting(study.job, study.room, basis, moment));
  for (int s = 0; s < static_cast<int>(study.room.surfaces.size()); ++s)
    if (study.room.surfaces[static_cast<std::size_t>(s)].spec >= 0)
      benchmark::DoNotOptimize(assess_surface(study, s, requested_finish(study, s), {static_cast<int>(study.moments.size()) - 1}));
  study.moments.pop_back();
  study.lighting.pop_back();
  return seconds_since(start);
}

/// Tables and sweep. Budget: 1 s on two idle cores, after a basis of 1 s (basis_ms is the year's own, of larger patches than a
/// picture's). times_as_fast: all steps by assess, each looking for where its joints are seen best, over this.
void year_demo(benchmark::State& state) {
  const auto study = demo_study();
  auto start = Clock::now();
  const auto basis = year_basis(*study);
  state.counters["basis_ms"] = 1e3 * seconds_since(start);
  double tables = 0, sweep = 0, cpu = 0;
  long steps = 0;
  for (auto _ : state) {
    const double before = cpu_seconds();
    start = Clock::now();
    const YearModel model(*study, clear_type, basis);
    tables += seconds_since(start);
    start = Clock::now();
    const Year year = sweep_year(*study, model, 2026);
    sweep += seconds_since(start);
    cpu += cpu_seconds() - before;
    steps = year.steps;
  }
  const double rounds = static_cast<double>(state.iterations());
  double step = 1e9;
  for (int i = 0; i < 3; ++i) step = std::min(step, one_step_by_assess(*study, basis));
  state.counters["tables_ms"] = 1e3 * tables / rounds;
  state.counters["sweep_ms"] = 1e3 * sweep / rounds;
  state.counters["cpu_ms"] = 1e3 * cpu / rounds;
  state.counters["steps"] = static_cast<double>(steps);
  state.counters["times_as_fast"] = step * static_cast<double>(steps) * rounds / (tables + sweep);
}
BENCHMARK(year_demo)->Unit(benchmark::kMillisecond);

}  // namespace
