// At which times of a day a year looks, and when the sun's edge passes what is looked at.
#pragma once
#include <algorithm>
#include <cmath>
#include <optional>
#include <vector>

#include "assess/year_parts.h"
#include "base/units.h"

namespace rakelight {

inline constexpr double minute = 1.0 / 1440;            ///< of a day
inline constexpr double coarse = 12 * minute, instant = 2 * minute / 60;
/// Half of the time that the disc takes over an edge, at most: it moves by at least its radius in this, as seen along its path.
inline constexpr double half_crossing = 1.2 * minute;

/// Places that the sun reaches or not: every station that somebody looks at, then every eye.
class Targets {
 public:
  Targets(const Study& study, const YearModel::Parts& parts) : parts_(parts) {
    for (const Spot& s : parts.spots)
      at_.push_back({s.world, study.room.surfaces[parts.surfaces[s.face]].frame.n, s.face, s.p});
    for (const Viewer& v : study.viewers) at_.push_back({v.eye, dvec3(0), -1, dvec2(0)});
    for (const int s : parts.surfaces) planes_.push_back(study.room.surfaces[s].frame.n);
    for (const Window& w : study.room.windows) windows_.push_back(study.room.surfaces[w.surface].frame.n);
  }
  std::size_t count() const { return at_.size(); }

  /// Whether any of the sun may come in at all.
  bool may_enter(const SunPosition& sun) const {
    if (sun.apparent_altitude < -kernel::sun_radius()) return false;
    const dvec3 s = sun_direction(parts_.site, sun);
    return std::any_of(windows_.begin(), windows_.end(), [&](dvec3 n) { return glm::dot(n, s) < 0; });
  }
  /// Into how many parts a stretch between two positions must be cut so that elevations over the faces change by at most
  /// 0.2 of themselves while under 20°.
  int parts_between(const SunPosition& a, const SunPosition& b) const {
    const dvec3 u = sun_direction(parts_.site, a), v = sun_direction(parts_.site, b);
    int most = 1;
    for (const dvec3& n : planes_) {
      const double from = std::asin(std::clamp(glm::dot(n, u), -1.0, 1.0)), to = std::asin(std::clamp(glm::dot(n, v), -1.0, 1.0));
      if (std::max(from, to) <= 0 || std::min(from, to) > 20 * rad_per_deg) continue;
      const double lower = std::max(std::min(from, to), kernel::sun_radius());
      most = std::max(most, static_cast<int>(std::ceil(std::abs(to - from) / (0.2 * lower))));
    }
    return std::min(most, 12);
  }
  SunBeams beams(const SunPosition& sun) const {
    SkyState sky;
    sky.dark = false;
    sky.sun_up = true;
    sky.direct_normal = 1;
    sky.sun = sun;
    sky.sun_direction = sun_direction(parts_.site, sun);
    static_cast<Outskirts&>(sky) = parts_.around;
    return {parts_.study->room, sky, parts_.glazing};
  }
  /// Whether any of the disc reaches target i.
  bool reached(const SunBeams& beams, dvec3 sun, std::size_t i) const {
    const Target& t = at_[i];
    if (t.n != dvec3(0) && glm::dot(t.n, sun) <= -kernel::sun_radius()) return false;
    return beams.at(t.at, -1).normal_illuminance > 0;
  }
  dvec3 towards(const SunPosition& sun) const { return sun_direction(parts_.site, sun); }
  /// Whose light the sun changes there: a joint of a face, as in Parts; −1: an eye's.
  struct Owner { int face, joint; };
  Owner owner(std::size_t i) const { return i < parts_.spots.size() ? Owner{parts_.spots[i].face, parts_.spots[i].joint} : Owner{-1, -1}; }
  void reached(const SunPosition& sun, std::vector<char>& state) const {
    const SunBeams now = beams(sun);
    const dvec3 towards = sun_direction(parts_.site, sun);
    const SunReach reach(*parts_.study, parts_.surfaces, towards);
    state.resize(at_.size());
    for (std::size_t i = 0; i < state.size(); ++i) state[i] = (at_[i].face < 0 || (reach.any(at_[i].face) && reach.may(at_[i].face, at_[i].p, 0))) && reached(now, towards, i);
  }

 private:
  struct Target { dvec3 at, n; int face; dvec2 p; };
  const YearModel::Parts& parts_;
  std::vector<Target> at_;
  std::vector<dvec3> planes_, windows_;
};

/// Targets that the sun's edge enters or leaves between two times, and whether it reached them before.
struct Crossing {
  double from = 0, to = 0;
  struct Passed { std::size_t target; bool reached; };
  std::vector<Passed> passed;
};

/// The times of a day at which to look, ascending, and the crossings between them; from and to of these are among the times.
struct Times { std::vector<double> at; std::vector<Crossing> crossings; };

/// Ascending, those less than a quarter of an instant apart as one.
void put_in_order(std::vector<double>& times);

/// Of a day between two Julian dates, UT.
Times times_of(const DaySun& day, const Targets& targets, double from, double to);

/// The sun at times between two, by halving: kept, because edges that pass one after another ask for the same.
class Halving {
 public:
  Halving(const DaySun& day, const Targets& targets, double from, double to) : day_(day), targets_(targets), from_(from), to_(to) {
    while ((to - from) / static_cast<double>(halves_) > instant) halves_ *= 2;
    known_.resize(halves_);
  }
  /// Adds when the outer edge of the penumbra passes a target, and when the disc is through.
  void add(const Crossing::Passed& passed, std::vector<double>& times) {
    std::size_t lo = 0, hi = halves_;
    while (hi - lo > 1) {
      const std::size_t middle = (lo + hi) / 2;
      (reached(middle, passed.target) == passed.reached ? lo : hi) = middle;
    }
    times.push_back(time(passed.reached ? hi : lo));
    times.push_back(passed.reached ? std::max(from_, time(hi) - 2 * half_crossing) : time(lo) + 2 * half_crossing);
  }

 private:
  struct Then { SunBeams beams; dvec3 towards; };
  double time(std::size_t i) const { return from_ + (to_ - from_) * static_cast<double>(i) / static_cast<double>(halves_); }
  bool reached(std::size_t i, std::size_t target) {
    std::optional<Then>& then = known_[i];
    if (!then) {
      const SunPosition sun = day_.position(time(i));
      then.emplace(Then{targets_.beams(sun), targets_.towards(sun)});
    }
    return targets_.reached(then->beams, then->towards, target);
  }
  const DaySun& day_;
  const Targets& targets_;
  double from_, to_;
  std::size_t halves_ = 1;
  std::vector<std::optional<Then>> known_;
};

}  // namespace rakelight
