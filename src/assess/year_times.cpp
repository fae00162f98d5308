// The times of a day at which a year looks.
#include "assess/year_times.h"

namespace rakelight {
namespace {

constexpr double quiet = 24 * minute, fine = 3 * minute;
constexpr double quiet_altitude = 6 * rad_per_deg;  // under it the sky changes fast

}  // namespace

void put_in_order(std::vector<double>& times) {
  std::sort(times.begin(), times.end());
  times.erase(std::unique(times.begin(), times.end(), [](double a, double b) { return b - a < instant / 4; }), times.end());
}

Times times_of(const DaySun& day, const Targets& targets, double from, double to) {
  Times times;
  const int pieces = static_cast<int>(std::ceil((to - from) / fine));
  const double step = (to - from) / pieces;
  std::vector<char> before, after;
  const int skip = static_cast<int>(std::lround(coarse / fine)), skip_in_quiet = static_cast<int>(std::lround(quiet / fine));
  SunPosition here = day.position(from);
  bool entering = targets.may_enter(here), known = false, reached_before = false;
  for (int i = 0; i < pieces; ++i) {
    const double a = from + i * step, b = a + step;
    const SunPosition next = day.position(b);
    const bool enters = targets.may_enter(next);
    const auto look_from = [&](bool closely) {
      const bool calm = !entering && !enters && std::min(here.altitude, next.altitude) >= quiet_altitude;
      if (std::max(here.altitude, next.altitude) >= lowest_sun && (i % (calm ? skip_in_quiet : skip) == 0 || closely)) times.at.push_back(a);
    };
    // where looking begins and ends
    if ((here.altitude < lowest_sun) != (next.altitude < lowest_sun)) times.at.push_back(a + step * (lowest_sun - here.altitude) / (next.altitude - here.altitude));
    if (entering || enters) {
      if (!known) targets.reached(here, before);
      targets.reached(next, after);
      const auto any = [](const std::vector<char>& state) { return std::find(state.begin(), state.end(), 1) != state.end(); };
      const bool reaches = any(before) || any(after);
      look_from(reaches || reached_before);
      reached_before = reaches;
      if (reaches) {
        const int parts = targets.parts_between(here, next);
        for (int k = 1; k < parts; ++k) times.at.push_back(a + step * k / parts);
      }
      Crossing crossing{a, b, {}};
      for (std::size_t t = 0; t < after.size(); ++t)
        if (before[t] != after[t]) crossing.passed.push_back({t, before[t] != 0});
      if (!crossing.passed.empty()) times.crossings.push_back(std::move(crossing));
      std::swap(before, after);
      known = true;
    } else {
      look_from(reached_before);
      reached_before = known = false;
    }
    here = next;
    entering = enters;
  }
  times.at.push_back(to);
  put_in_order(times.at);
  return times;
}

}  // namespace rakelight
