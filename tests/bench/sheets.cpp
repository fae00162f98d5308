// Layouts of sheets scored a second, and that the cost goes with the joints.
#include <benchmark/benchmark.h>

#include <stdexcept>

#include "advice/way_round.h"
#include "job/read.h"

namespace {

using namespace rakelight;

Job wall(int metres) {
  const std::string text = "[room]\ncorners = [[0, 0], [0, " + std::to_string(metres * 1000) + "], [4000, " + std::to_string(metres * 1000) + "], [4000, 0]]\nheight = 2650\n" +
                           "[[surface]]\nname = \"A\"\n[framing]\n";
  Diagnostics diagnostics;
  auto read = read_job(JobText(text), diagnostics);
  if (!read) throw std::runtime_error(diagnostics.to_text("wall.toml", text));
  return *read;
}

/// Ways of a wall, each another: what a search tries.
void score_layouts(benchmark::State& state) {
  const Job job = wall(static_cast<int>(state.range(0)));
  Diagnostics diagnostics;
  const auto room = make_room(job, diagnostics);
  const ShowField field(room->surfaces[0].box, [](JointClass, bool, dvec2 p) { return 0.02 * p.x; });
  WayScorer scorer(job, *room, 0, field, *scheme("c840")->find("4"));
  std::vector<Way> ways;
  for (double length : {2.4, 3.0})
    for (double first_row : scorer.first_rows(Run::horizontal))
      for (double a : scorer.firsts(Run::horizontal, length))
        for (double b : scorer.firsts(Run::horizontal, length)) ways.push_back({Run::horizontal, length, first_row, {a, b}});
  double joints = 0, layouts = 0;
  for (auto _ : state) {
    for (const Way& way : ways) {
      const WayOption o = scorer.score(way);
      joints += o.pieces;
      benchmark::DoNotOptimize(o.visible);
    }
    layouts += static_cast<double>(ways.size());
  }
  state.counters["layouts_per_s"] = benchmark::Counter(layouts, benchmark::Counter::kIsRate);
  state.counters["s_per_sheet"] = benchmark::Counter(joints, benchmark::Counter::kIsRate | benchmark::Counter::kInvert);
}
BENCHMARK(score_layouts)->Arg(6)->Arg(12)->Arg(24)->Arg(48)->Unit(benchmark::kMillisecond);

}  // namespace
