#include "advice/starts.h"

#include <algorithm>
#include <cmath>
#include <optional>

#include "advice/way_round.h"

namespace rakelight {
namespace {

constexpr double step = 0.025;                    // m
constexpr double widest = 100;                    // m²: on larger faces sheets end everywhere
constexpr double worth_it = 0.8;                  // of the metres that show now

/// ln V of the joints of one class that run one way, by where they lie across that.
struct Known {
  std::vector<std::pair<double, double>> at;
  double of(double x) const {
    if (x <= at.front().first) return at.front().second;
    for (std::size_t i = 1; i < at.size(); ++i)
      if (x <= at[i].first) {
        const double share = (x - at[i - 1].first) / std::max(at[i].first - at[i - 1].first, 1e-9);
        return at[i - 1].second + share * (at[i].second - at[i - 1].second);
      }
    return at.back().second;
  }
};

/// [class][along x]; the most of all joints that lie alike.
std::array<std::array<Known, 2>, 2> known_joints(const Study& study, const SurfaceAdvice& advice) {
  std::array<std::array<Known, 2>, 2> out;
  const std::string level = *study.job.surfaces[static_cast<std::size_t>(study.room.surfaces[advice.surface].spec)].level;
  for (const SurfaceResult& r : advice.results) {
    if (r.finish.level != level) continue;
    for (const JointResult& j : r.joints) {
      if (j.worst < 0 || !joins_sheets(j.joint.line.kind)) continue;
      const double v = j.seen[static_cast<std::size_t>(j.worst)].judged.visibility;
      if (v <= 0) continue;
      const bool along_x = std::abs(j.joint.line.along().x) > 0.5;
      const double at = along_x ? j.joint.line.from.y : j.joint.line.from.x;
      auto& known = out[is_end(j.joint.line.kind)][along_x].at;
      const auto same = std::find_if(known.begin(), known.end(), [&](const auto& k) { return std::abs(k.first - at) < 1e-3; });
      if (same == known.end()) known.emplace_back(at, std::log(v));
      else same->second = std::max(same->second, std::log(v));
    }
  }
  for (auto& by_way : out)
    for (Known& k : by_way) std::sort(k.at.begin(), k.at.end());
  return out;
}

}  // namespace

std::vector<Way> other_starts(const Study& study, const SurfaceAdvice& advice) {
  const Surface& face = study.room.surfaces[advice.surface];
  const SurfaceSpec& spec = study.job.surfaces[static_cast<std::size_t>(face.spec)];
  const std::string prefix = face.name + "/";
  const bool named = std::any_of(study.job.joints.begin(), study.job.joints.end(), [&](const JointSpec& j) { return j.id->starts_with(prefix); });
  if (named || *spec.system != SystemSpec::none || face.box.width() * face.box.height() > widest) return {};

  const auto known = known_joints(study, advice);
  const VerdictSpec& rules = study.job.verdict;
  const auto chance = [&](bool end, bool along_x, double at) {
    const Known &own = known[end][along_x], &other = known[!end][along_x];
    double ln = 0;
    if (own.at.size() >= 2 || (own.at.size() == 1 && other.at.size() < 2)) ln = own.of(at);
    else if (own.at.size() == 1) ln = own.at[0].second + other.of(at) - other.of(own.at[0].first);  // the other joints' course, through the one that is known
    else if (!other.at.empty()) ln = other.of(at);
    else return 0.0;
    // of workmanship alike everywhere
    return chance_over({std::exp(ln)}, {1, *rules.band}, *rules.shows);
  };
  // what a place costs hangs on one coordinate alone
  std::array<std::array<std::vector<double>, 2>, 2> at;
  for (const bool end : {false, true})
    for (const bool along_x : {false, true}) {
      const double from = along_x ? face.box.lo.y : face.box.lo.x, to = along_x ? face.box.hi.y : face.box.hi.x;
      for (double x = from; x < to + step; x += step) at[end][along_x].push_back(chance(end, along_x, x));
    }
  const ShowField field(face.box, [&](JointClass c, bool along_x, dvec2 p) {
    const std::vector<double>& row = at[c == JointClass::end][along_x];
    const double from = along_x ? p.y - face.box.lo.y : p.x - face.box.lo.x;
    return row[std::min(static_cast<std::size_t>(std::max(0.0, from / step)), row.size() - 1)];
  });
  const Level* level = study.scheme.find(*spec.level);
  WayScorer scorer(study.job, study.room, advice.surface, field, *level);
  const Way asked = way_as_asked(study.job, study.room, advice.surface);
  const WayOption now = scorer.score(asked);
  const std::vector<double> firsts = scorer.firsts(asked.run, asked.length);

  double best_so_far = worth_it * now.visible;
  std::vector<Way> out;
  const auto take_best = [&](const std::vector<Way>& ways) {
    std::vector<WayOption> good;
    for (const Way& w : ways) {
      const WayOption o = scorer.score(w);
      if (o.breaches <= now.breaches && o.visible < best_so_far) good.push_back(o);
    }
    if (good.empty()) return;
    double least = good.front().visible;
    for (const WayOption& o : good) least = std::min(least, o.visible);
    const WayOption* best = nullptr;
    for (const WayOption& o : good)
      if (o.visible <= std::max(least * (1 + alike), least + alike_m) && (!best || std::pair(o.hours, o.bought) < std::pair(best->hours, best->bought))) best = &o;
    out.push_back(best->way);
    best_so_far = worth_it * best->visible;
  };
  const auto begun = [&](double first_row) {
    std::vector<Way> ways;
    for (const double per_end_metre : {0.0, 0.3, 3.0}) ways.push_back({asked.run, asked.length, first_row, scorer.best_firsts(asked.run, asked.length, first_row, firsts, per_end_metre)});
    return ways;
  };
  std::vector<Way> ways = begun(asked.first_row);
  if (!ways.front().first_sheets.empty())
    for (const double a : firsts)
      for (const double b : firsts) ways.push_back({asked.run, asked.length, asked.first_row, a == b ? std::vector{a} : std::vector{a, b}});
  take_best(ways);
  ways.clear();
  for (const double row : scorer.first_rows(asked.run))
    if (std::abs(row - asked.first_row) > 1e-4)
      for (Way& w : begun(row)) ways.push_back(std::move(w));
  take_best(ways);
  return out;
}

}  // namespace rakelight
