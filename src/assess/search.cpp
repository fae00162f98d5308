#include "assess/search.h"

#include <algorithm>
#include <cmath>

#include "base/units.h"
#include "light/parallel.h"
#include "look/glimpse.h"

namespace rakelight {
namespace {

constexpr double pitch = 0.05;         // m, of glimpses
constexpr double near_enough = 0.97;   // of a glimpse's best, for a station that others look at as well
constexpr double worth_a_look = 0.7;   // of a joint's best V, by glimpse
constexpr double worth_a_climb = 0.8;  // of a joint's best V
constexpr std::size_t most_peaks = 4, most_climbs = 4;
constexpr int most_steps = 6;
constexpr double first_step = 0.03, last_gap = 0.025, same_place = 0.004;  // m

/// Stations some `pitch` apart, both ends of every stretch among them.
std::vector<double> stations_over(const std::vector<Stretch>& stretches) {
  std::vector<double> stations;
  for (const auto& [from, to] : stretches) {
    const int steps = to - from < same_place ? 0 : static_cast<int>(std::ceil((to - from) / pitch));
    if (steps == 0) stations.push_back(0.5 * (from + to));
    for (int i = 0; steps > 0 && i <= steps; ++i) stations.push_back(from + (to - from) * i / steps);
  }
  return stations;
}

/// One viewer at one moment before one joint.
struct View {
  int moment = 0, viewer = 0;
  std::vector<double> promise;        ///< by glimpse, station by station
  std::vector<double> by_laps;        ///< the same, weighed as the steepest slopes and the rest of them are seen
  std::vector<double> ending;         ///< what the joint's ends add to it
  std::vector<std::size_t> peaks;     ///< of the promise, highest first
  double scale = 0, lap_scale = 0;    ///< V over promise, and over that by laps, where it was looked at
  Look best;
};

/// A way up from a look, to the highest V near it.
struct Climb {
  std::size_t view = 0;
  Stretch bounds{0, 0};
  std::vector<std::array<double, 2>> known;  ///< station, V; ascending stations

  void add(const std::vector<std::array<double, 2>>& looks) {
    known.insert(known.end(), looks.begin(), looks.end());
    std::sort(known.begin(), known.end());
  }
  /// Where to look next; nowhere: the top is known.
  std::vector<double> next() const {
    const auto top = std::max_element(known.begin(), known.end(), [](const auto& a, const auto& b) { return a[1] < b[1]; });
    const bool first = top == known.begin(), last = top + 1 == known.end();
    const double at = (*top)[0];
    std::vector<double> wanted;
    if (first && at - bounds[0] > same_place) wanted.push_back(std::max(bounds[0], at - first_step));
    if (last && bounds[1] - at > same_place) wanted.push_back(std::min(bounds[1], at + first_step));
    if (!wanted.empty()) return wanted;
    const double below = first ? at : (*(top - 1))[0], above = last ? at : (*(top + 1))[0];
    double to = at;
    if (!first && !last) {
      // the vertex of the parabola through the three
      const double a = below - at, b = above - at, va = (*(top - 1))[1] - (*top)[1], vb = (*(top + 1))[1] - (*top)[1];
      const double bend = 2 * (va * b - vb * a);
      if (std::abs(bend) > 1e-12) to = std::clamp(at + (va * b * b - vb * a * a) / bend, below, above);
    }
    const double gap = std::max(at - below, above - at);
    const auto apart = [&](double from) { return std::abs(to - from) > same_place; };
    if (apart(at) && (first || apart(below)) && (last || apart(above))) return {to};
    if (gap > last_gap) return {at - below > above - at ? 0.5 * (at + below) : 0.5 * (at + above)};
    return {};
  }
};

/// All that is known of one joint.
struct Hunt {
  std::vector<Stretch> stretches;
  std::vector<double> stations;
  bool spots = false;
  std::vector<View> views;
  std::vector<Climb> climbs;
  double best = 0;

  void keep(std::size_t view, Look look) {
    best = std::max(best, look.raw);
    if (look.raw > views[view].best.raw) views[view].best = std::move(look);
  }
  Stretch stretch_at(double station) const {
    for (const Stretch& s : stretches)
      if (station >= s[0] - 1e-9 && station <= s[1] + 1e-9) return s;
    return {station, station};
  }
};

std::vector<std::size_t> peaks_of(const std::vector<double>& promise) {
  std::vector<std::size_t> peaks;
  for (std::size_t i = 0; i < promise.size(); ++i)
    if (promise[i] > 0 && (i == 0 || promise[i] > promise[i - 1]) && (i + 1 == promise.size() || promise[i] >= promise[i + 1])) peaks.push_back(i);
  std::stable_sort(peaks.begin(), peaks.end(), [&](std::size_t a, std::size_t b) { return promise[a] > promise[b]; });
  return peaks;
}

/// What a joint's slopes come to against the steepest of them: their mean, each weighed by itself.
double mean_slope_share(const Section& section) {
  double sum = 0, squares = 0, steepest = 0;
  for (const double s : section.slope) {
    sum += std::abs(s);
    squares += s * s;
    steepest = std::max(steepest, std::abs(s));
  }
  return sum > 0 ? squares / sum / steepest : 0;
}

/// How much V a contrast of 1 on the steepest facets promises by the eye's sensitivity: to what is half as wide as the joint; and
/// to laps, some twentieth of it wide, with the rest of its slopes, `share` as steep, half as wide as the joint. The first is nearer
/// where the crown is what is seen, the second where laps are: an eye that sees the joint smaller takes these for less.
struct Promise { double broad = 0, by_laps = 0; };
Promise promise_of(const JointSetting& s, const View& view, const PlacedJoint& joint, double share, double station, const Glimpse& glimpse) {
  constexpr double laps = 20, crown = 2;  // cycles over the width
  if (glimpse.flat_luminance <= 0) return {};
  const Frame& frame = s.frame();
  const dvec2 middle = joint.line.from + station * joint.line.along(), half = 0.5 * joint.section.width() * joint.line.across();
  const dvec3 eye = s.eye(view.viewer);
  const double width_deg = angle_between(frame.world_from_surface(middle - half), frame.world_from_surface(middle + half), eye) * deg_per_rad;
  const double luminance = glimpse.flat_luminance + s.veil(view.moment, view.viewer, frame.world_from_surface(middle));
  const double lit = std::clamp(luminance, 0.05, 20000.0);
  const double dimmed = std::sqrt(std::min(1.0, luminance / lit)), broad = observer_sensitivity(lit, crown / std::max(width_deg, 0.05));
  const double seen = glimpse.flat_luminance / luminance;
  return {seen * broad * dimmed, seen * std::hypot(observer_sensitivity(lit, laps / std::max(width_deg, 0.05)), share * broad) * dimmed};
}

std::vector<Hunt> glimpse_all(const JointSetting& s, const std::vector<int>& moments, const std::vector<int>& viewers) {
  const int count = static_cast<int>(s.relief.joints.size());
  std::vector<Hunt> hunts(static_cast<std::size_t>(count));
  std::vector<dvec3> eyes;
  for (const int v : viewers) eyes.push_back(s.eye(v));
  std::vector<JointGlimpses> glimpses;
  struct Part { std::size_t joint, part; };
  std::vector<Part> anchors, stations;
  for (std::size_t j = 0; j < hunts.size(); ++j) {
    const PlacedJoint& joint = s.relief.joints[j];
    hunts[j].spots = !joint.line.spots.empty();
    hunts[j].stretches = clear_stretches(s.relief, static_cast<int>(j));
    hunts[j].stations = stations_over(hunts[j].stretches);
    glimpses.emplace_back(s.set, s.study.room, s.surface, joint, hunts[j].stations, eyes);
    for (std::size_t i = 0; i < glimpses.back().anchors(); ++i) anchors.push_back({j, i});
    for (std::size_t i = 0; i < hunts[j].stations.size(); ++i) stations.push_back({j, i});
  }
  for_each_index(static_cast<int>(anchors.size()), [&](int i) { glimpses[anchors[i].joint].prepare(anchors[i].part); });
  for_each_index(static_cast<int>(stations.size()), [&](int i) { glimpses[stations[i].joint].look(stations[i].part); });
  for_each_index(count, [&](int i) {
    const auto j = static_cast<std::size_t>(i);
    const double share = mean_slope_share(s.relief.joints[j].section);
    for (const int m : moments)
      for (std::size_t v = 0; v < viewers.size(); ++v) {
        View& view = hunts[j].views.emplace_back();
        view.moment = m;
        view.viewer = viewers[v];
        for (std::size_t k = 0; k < hunts[j].stations.size(); ++k) {
          const Glimpse& g = glimpses[j].at(static_cast<std::size_t>(s.index[m]), v, k);
          const Promise promise = promise_of(s, view, s.relief.joints[j], share, hunts[j].stations[k], g);
          view.promise.push_back(promise.broad * std::min(g.contrast, 1.0));
          view.by_laps.push_back(promise.by_laps * std::min(g.contrast, 1.0));
          view.ending.push_back(promise.broad * std::min(g.ending, 1.0));
        }
        view.peaks = peaks_of(view.promise);
      }
  });
  return hunts;
}

/// Looks at one joint that are wanted, and whose they are.
struct Wanted {
  std::size_t joint = 0;
  std::vector<LookTask> tasks;
  struct Whose { std::size_t view, climb; };
  std::vector<Whose> whose;
  void add(const Hunt& hunt, std::size_t view, std::size_t climb, std::vector<double> stations) {
    tasks.push_back({static_cast<int>(joint), hunt.views[view].moment, hunt.views[view].viewer, std::move(stations)});
    whose.push_back({view, climb});
  }
};

/// Every view at its best glimpse, or at one nearly as good where the joint is looked at already: what a station costs is shared.
void look_first(const JointSetting& s, std::size_t joint, Hunt& hunt) {
  Wanted wanted{joint, {}, {}};
  std::vector<std::size_t> places, order(hunt.views.size()), chosen;
  for (std::size_t v = 0; v < order.size(); ++v) order[v] = v;
  const auto most = [&](std::size_t v) { return hunt.views[v].peaks.empty() ? 0.0 : hunt.views[v].promise[hunt.views[v].peaks[0]]; };
  std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) { return most(a) > most(b); });
  for (const std::size_t v : order) {
    const View& view = hunt.views[v];
    std::size_t place = 0;
    if (view.peaks.empty()) {
      // nothing is promised: one look all the same, where the joint is in sight
      place = hunt.stations.size() / 2;
    } else {
      place = view.peaks[0];
      for (const std::size_t c : chosen)
        if (view.promise[c] >= near_enough * most(v) && (place == view.peaks[0] || view.promise[c] > view.promise[place])) place = c;
    }
    chosen.push_back(place);
    wanted.add(hunt, v, 0, {hunt.stations[place]});
    places.push_back(place);
  }
  std::vector<Look> looks = look_at_all(s, wanted.tasks);
  for (std::size_t t = 0; t < looks.size(); ++t) {
    View& view = hunt.views[wanted.whose[t].view];
    const auto scale = [&](double promise) { return promise > 0 ? std::max(looks[t].raw, 0.0) / promise : 0; };
    view.scale = scale(view.promise[places[t]]);
    view.lap_scale = scale(view.by_laps[places[t]]);
    hunt.keep(wanted.whose[t].view, std::move(looks[t]));
  }
}

/// Other peaks of a view's glimpses, and the joint's ends, where they may come near the joint's best, and ways up from all that do.
void look_at_peaks(const JointSetting& s, std::size_t joint, Hunt& hunt) {
  Wanted wanted{joint, {}, {}};
  for (std::size_t v = 0; v < hunt.views.size(); ++v) {
    const View& view = hunt.views[v];
    std::vector<double> asked;
    const auto ask = [&](std::size_t place, double hoped, double apart) {
      const double at = hunt.stations[place];
      if (view.best.raw >= 0 && std::abs(at - view.best.seen.station) < pitch) return;
      if (std::any_of(asked.begin(), asked.end(), [&](double other) { return std::abs(at - other) < apart; })) return;
      if (hoped < worth_a_look * hunt.best) return;
      asked.push_back(at);
      wanted.add(hunt, v, 0, {at});
    };
    // no climb crosses another joint's film: what lies beyond it is looked at where it begins
    const auto ask_beyond = [&](std::size_t place) {
      for (const std::size_t other : {place - 1, place + 1})
        if (other < hunt.stations.size() && hunt.stretch_at(hunt.stations[other]) != hunt.stretch_at(hunt.stations[place])) ask(other, view.lap_scale * view.by_laps[other], 0);
    };
    for (std::size_t p = 0; p < std::min(view.peaks.size(), most_peaks); ++p) ask(view.peaks[p], view.scale * view.promise[view.peaks[p]], 0);
    const std::vector<std::size_t> ends = peaks_of(view.ending);
    for (std::size_t p = 0; p < std::min<std::size_t>(ends.size(), 2); ++p) ask(ends[p], view.scale * view.ending[ends[p]], 0);
    // what laps alone would promise; nothing new where it comes from the same place
    const std::vector<std::size_t> laps = peaks_of(view.by_laps);
    if (laps.empty()) continue;
    ask(laps[0], view.lap_scale * view.by_laps[laps[0]], 2 * pitch);
    ask_beyond(laps[0]);
  }
  std::vector<Look> looks = look_at_all(s, wanted.tasks);
  struct Start { std::size_t view; double station, raw; };
  std::vector<Start> starts;
  for (std::size_t v = 0; v < hunt.views.size(); ++v)
    if (const Look& look = hunt.views[v].best; look.raw > 0) starts.push_back({v, look.seen.station, look.raw});
  for (std::size_t t = 0; t < looks.size(); ++t) {
    if (looks[t].raw > 0) starts.push_back({wanted.whose[t].view, looks[t].seen.station, looks[t].raw});
    hunt.keep(wanted.whose[t].view, std::move(looks[t]));
  }
  if (hunt.spots) return;
  std::stable_sort(starts.begin(), starts.end(), [](const Start& a, const Start& b) { return a.raw > b.raw; });
  for (const Start& start : starts)
    if (hunt.climbs.size() < most_climbs && start.raw >= worth_a_climb * hunt.best)
      hunt.climbs.push_back({start.view, hunt.stretch_at(start.station), {{start.station, start.raw}}});
}

void climb(const JointSetting& s, std::size_t joint, Hunt& hunt) {
  for (int step = 0; step < most_steps; ++step) {
    Wanted wanted{joint, {}, {}};
    for (std::size_t c = 0; c < hunt.climbs.size(); ++c) {
      const std::vector<double> next = hunt.climbs[c].next();
      if (!next.empty()) wanted.add(hunt, hunt.climbs[c].view, c, next);
    }
    if (wanted.tasks.empty()) return;
    std::vector<Look> looks = look_at_all(s, wanted.tasks);
    for (std::size_t t = 0; t < looks.size(); ++t) {
      std::vector<std::array<double, 2>> known = looks[t].along;
      // what is out of sight bounds the way
      for (const double station : wanted.tasks[t].stations)
        if (std::none_of(known.begin(), known.end(), [&](const auto& k) { return k[0] == station; })) known.push_back({station, 0.0});
      hunt.climbs[wanted.whose[t].climb].add(known);
      hunt.keep(wanted.whose[t].view, std::move(looks[t]));
    }
  }
}

}  // namespace

std::vector<Stretch> clear_stretches(const Relief& relief, int joint) {
  constexpr double square_to = 0.1, least = 0.02;
  const PlacedJoint& own = relief.joints[static_cast<std::size_t>(joint)];
  if (!own.line.spots.empty()) {
    std::vector<Stretch> spots;
    for (const double s : own.line.spots) spots.push_back({s, s});
    return spots;
  }
  const double length = own.line.length(), inset = std::min(0.15, 0.1 * length);
  const dvec2 along = own.line.along(), across = own.line.across();
  std::vector<Stretch> clear{{inset, length - inset}};
  for (std::size_t i = 0; i < relief.joints.size(); ++i) {
    const PlacedJoint& other = relief.joints[i];
    const dvec2 way = other.line.along();
    if (static_cast<int>(i) == joint || other.line.kind == JointKind::fixings || std::abs(glm::dot(way, along)) > square_to) continue;
    // the other's section, with all that a skim or the sanding makes of its edges, as this joint has it: how far along, and from
    // where to where across
    const double at = glm::dot(other.line.from - own.line.from, along), turned = glm::dot(other.line.across(), along);
    const double one = at + turned * other.section.first, two = at + turned * other.section.last();
    const double from = glm::dot(other.line.from - own.line.from, across), to = from + glm::dot(way, across) * other.line.length();
    if (std::max(from, to) <= own.section.left + 1e-6 || std::min(from, to) >= own.section.right - 1e-6) continue;
    const double low = std::min(one, two), high = std::max(one, two);
    std::vector<Stretch> rest;
    for (const Stretch& s : clear) {
      if (low - s[0] >= least) rest.push_back({s[0], std::min(s[1], low)});
      if (s[1] - high >= least) rest.push_back({std::max(s[0], high), s[1]});
    }
    clear = std::move(rest);
  }
  if (clear.empty()) clear = {{inset, length - inset}};
  std::sort(clear.begin(), clear.end());
  return clear;
}

std::vector<FoundLook> search(const JointSetting& setting, const std::vector<int>& moments, const std::vector<int>& viewers) {
  std::vector<Hunt> hunts = glimpse_all(setting, moments, viewers);
  // no joint waits for another
  for_each_index(static_cast<int>(hunts.size()), [&](int i) {
    const auto j = static_cast<std::size_t>(i);
    look_first(setting, j, hunts[j]);
    look_at_peaks(setting, j, hunts[j]);
    climb(setting, j, hunts[j]);
    const Look* best = nullptr;
    for (const View& view : hunts[j].views)
      if (!best || view.best.raw > best->raw) best = &view.best;
    for (View& view : hunts[j].views) {
      if (&view.best == best) continue;
      view.best.pattern = {};
      view.best.profile = {};
    }
  });
  std::vector<FoundLook> found;
  for (std::size_t j = 0; j < hunts.size(); ++j)
    for (View& view : hunts[j].views)
      if (view.best.raw >= 0) found.push_back({static_cast<int>(j), std::move(view.best)});
  return found;
}

double clear_place(const std::vector<Stretch>& stretches, double station) {
  double nearest = station, least = 1e9;
  for (const auto& [from, to] : stretches) {
    const double place = std::clamp(station, from, to);
    if (std::abs(place - station) >= least) continue;
    least = std::abs(place - station);
    nearest = place;
  }
  return nearest;
}

}  // namespace rakelight
