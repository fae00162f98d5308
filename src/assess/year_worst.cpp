// What assess says of each joint at the moment at which the year's tables put it highest.
#include <algorithm>
#include <cmath>

#include "assess/joint_view.h"
#include "assess/looks.h"
#include "assess/search.h"
#include "assess/year_parts.h"
#include "light/many.h"
#include "light/parallel.h"

namespace rakelight {
namespace {

constexpr double near_best = 0.85;       // of the tables' best, for another eye to be asked too
constexpr double still_near = 0.93;      // of the best so far, for an eye to be asked again
constexpr double step = 0.03, same_spot = 0.003, last_gap = 0.012;  // m
constexpr int most_rounds = 8;

/// The way up from a place, for one eye: looks close to it and farther off on both sides at once (a look is mostly what all of its places
/// share), then at the top of the parabola through the highest three, until places close to the highest on either side are known to be
/// lower.
struct Climb {
  int viewer = 0;
  Stretch bounds;
  std::vector<double> wanted;
  std::vector<std::array<double, 2>> known = {};  ///< station, V
  double stride = step, best = -1;
  bool asked_about = false;

  Climb(int by, double along, const Stretch& within) : viewer(by), bounds(within), wanted{along} {}
  /// All about a place.
  void ask_about(double along) {
    asked_about = true;
    for (const double side : {-step, -0.9 * last_gap, 0.9 * last_gap, step})
      if (const double at = std::clamp(along + side, bounds[0], bounds[1]); std::abs(at - along) > same_spot && (wanted.empty() || std::abs(at - wanted.back()) > same_spot)) wanted.push_back(at);
  }
  /// Takes what was found where it was wanted, and says in `wanted` what is wanted next.
  void take(const Look& look) {
    known.insert(known.end(), look.along.begin(), look.along.end());
    best = std::max(best, look.raw);
    wanted.clear();
    if (known.empty()) return;
    if (!asked_about) return ask_about(known[0][0]);
    std::sort(known.begin(), known.end());
    const auto ask = [&](double at) {
      if (std::none_of(known.begin(), known.end(), [&](const auto& k) { return std::abs(k[0] - at) < same_spot; })) wanted.push_back(at);
    };
    const auto top = std::max_element(known.begin(), known.end(), [](const auto& a, const auto& b) { return a[1] < b[1]; });
    const double at = (*top)[0];
    if (top == known.begin() || top + 1 == known.end()) {
      stride *= 1.5;
      return ask(top == known.begin() ? std::max(bounds[0], at - stride) : std::min(bounds[1], at + stride));
    }
    const double a = (*(top - 1))[0] - at, b = (*(top + 1))[0] - at, va = (*(top - 1))[1] - (*top)[1], vb = (*(top + 1))[1] - (*top)[1];
    if (const double bend = 2 * (va * b - vb * a); std::abs(bend) > 1e-12) ask(std::clamp(at + (va * b * b - vb * a * a) / bend, at + a, at + b));
    if (wanted.empty() && std::max(-a, b) > last_gap) ask(-a > b ? at + 0.5 * a : at + 0.5 * b);
  }
};

/// The best look of some eyes, which climb side by side; first the one that is likely to have it, the others only from near its best on.
Look best_of(const JointSetting& setting, int joint, std::vector<Climb> climbs) {
  Look best;
  if (!climbs.empty()) climbs[0].ask_about(climbs[0].wanted[0]);
  for (int round = 0; round < most_rounds && !climbs.empty(); ++round) {
    std::vector<LookTask> tasks;
    for (const Climb& climb : climbs) tasks.push_back({joint, 0, climb.viewer, climb.wanted});
    std::vector<Look> looks = look_at_all(setting, tasks);
    for (std::size_t i = 0; i < climbs.size(); ++i) {
      climbs[i].take(looks[i]);
      if (looks[i].raw > best.raw) best = std::move(looks[i]);
    }
    std::erase_if(climbs, [&](const Climb& climb) { return climb.wanted.empty() || climb.best < still_near * best.raw; });
  }
  return best;
}

}  // namespace

void look_again_at_worst(const Study& study, const YearModel::Parts& parts, Year& year) {
  struct Worst { std::size_t face, joint; };
  std::vector<Worst> all;
  const double least = *study.job.verdict.faint / *study.job.verdict.band;
  for (std::size_t f = 0; f < year.faces.size(); ++f)
    for (std::size_t j = 0; j < year.faces[f].joints.size(); ++j)
      if (year.faces[f].joints[j].worst.visibility >= least) all.push_back({f, j});
  const std::vector<Relief> reliefs = joints_alone(parts);
  std::vector<DaySun::Place> places;
  std::vector<Moment> moments;
  for (const auto& [f, j] : all) {
    const double at = year.faces[f].joints[j].worst_at;
    places.push_back(DaySun(at, parts.latitude, *parts.site.longitude_deg * (pi / 180)).place(at));
    moments.push_back(moment_under(study, make_sky(parts.site, DaySun::position(parts.latitude, places.back()), parts.sky_type)));
  }
  const std::vector<Lighting> lightings = make_lightings(study.job, study.room, parts.basis, moments);
  for_each_index(static_cast<int>(all.size()), [&](int i) {
    const auto [f, j] = all[static_cast<std::size_t>(i)];
    YearJoint& joint = year.faces[f].joints[j];
    const int surface = parts.surfaces[f];
    const DaySun::Place place = places[static_cast<std::size_t>(i)];
    const Lighting& lighting = lightings[static_cast<std::size_t>(i)];
    JointSetting setting{study, surface, reliefs[static_cast<std::size_t>(surface)], {}, {0}, {0}, {}, {}};
    setting.cells.resize(setting.relief.joints.size());
    setting.scenes.push_back(make_scene(study.room, lighting, reliefs, study.paints));
    setting.set = SceneSet({&setting.scenes[0]}, {&lighting});
    setting.glare.resize(1);
    for (const Viewer& v : study.viewers) setting.glare[0].push_back(glare_sources(lighting, v.eye));
    const std::vector<Stretch> stretches = clear_stretches(setting.relief, static_cast<int>(j));
    std::vector<Climb> climbs;
    std::vector<YearLook> tops = parts.tops(place, static_cast<int>(f), static_cast<int>(j));
    std::stable_sort(tops.begin(), tops.end(), [](const YearLook& a, const YearLook& b) { return a.visibility > b.visibility; });
    for (const YearLook& top : tops) {
      if (top.visibility < near_best * joint.worst.visibility) continue;
      Stretch bounds{top.along, top.along};
      for (const Stretch& s : stretches)
        if (top.along >= s[0] - 1e-9 && top.along <= s[1] + 1e-9) bounds = s;
      climbs.emplace_back(top.viewer, top.along, bounds);
    }
    const Look best = best_of(setting, static_cast<int>(j), std::move(climbs));
    if (best.raw < 0) return;
    joint.worst = {best.seen.judged.visibility, best.seen.raking_ratio, best.seen.station, best.seen.viewer};
  });
  for (const auto& [f, j] : all) {
    const YearJoint& joint = year.faces[f].joints[j];
    for (YearDay& day : year.days)
      for (YearRun& run : day.runs[f]) {
        if (run.joint != static_cast<int>(j) || std::abs(run.most_at - joint.worst_at) > 1e-7) continue;
        run.visibility = joint.worst.visibility;
        run.raking_ratio = joint.worst.raking_ratio;
        run.along = joint.worst.along;
      }
  }
}

}  // namespace rakelight
