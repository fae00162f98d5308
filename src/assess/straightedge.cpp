// What a short straightedge reads on a finished joint.
#include <algorithm>
#include <cmath>

#include "assess/assess.h"

namespace rakelight {
namespace {

// The rule and the section are compared every 2 mm: a lap ridge of 5 mm is then read within 0.02 mm.
constexpr double rule_step = 2e-3;

struct Limit { const char* name; double base, gap; bool strict; };

// docs/reference/trade.md 2.1 and 2.2
constexpr Limit limits[] = {
    {"NF DTU 25.41: 1 mm under 200 mm", 0.200, 0.0010, false},
    {"BBRI, normal: 1.5 mm under 200 mm", 0.200, 0.0015, false},
    {"BBRI, special: 1.0 mm under 200 mm", 0.200, 0.0010, false},
    {"NL, levels A and B: less than 1.0 mm under 400 mm", 0.400, 0.0010, true},
    {"BS 8212 and NHBC: 3 mm under 450 mm", 0.450, 0.0030, false},
    {"DIN 18202 line 6: 3 mm under 100 mm", 0.100, 0.0030, false},
    {"DIN 18202 line 7: 2 mm under 100 mm", 0.100, 0.0020, false},
};

}  // namespace

double straightedge_gap(const Section& section, double base) {
  if (section.height.empty()) return 0;
  const int span = std::max(1, static_cast<int>(std::lround(base / rule_step)));
  const double first = section.first - base, last = section.last() + base;
  const int count = static_cast<int>(std::ceil((last - first) / rule_step)) + 1;
  std::vector<double> face(static_cast<std::size_t>(count));
  for (int i = 0; i < count; ++i) face[static_cast<std::size_t>(i)] = section.height_at(first + i * rule_step);
  double gap = 0;
  for (int start = 0; start + span < count; ++start) {
    // held parallel to the line through the face at its ends, the rule rests on the highest point over that line
    const double from = face[static_cast<std::size_t>(start)];
    const double slope = (face[static_cast<std::size_t>(start + span)] - from) / span;
    double high = 0, low = 0;
    for (int i = 1; i < span; ++i) {
      const double over = face[static_cast<std::size_t>(start + i)] - from - slope * i;
      high = std::max(high, over);
      low = std::min(low, over);
    }
    gap = std::max(gap, high - low);
  }
  return gap;
}

std::vector<StraightedgeReading> read_straightedge(const Section& section) {
  std::vector<StraightedgeReading> readings;
  for (const auto& limit : limits) {
    StraightedgeReading r{limit.name, limit.base, 0, true};
    const auto same = std::find_if(readings.begin(), readings.end(), [&](const auto& o) { return o.base == limit.base; });
    r.gap = same != readings.end() ? same->gap : straightedge_gap(section, limit.base);
    // readings within a micrometre of a limit are rounding, not workmanship
    r.ok = limit.strict ? r.gap < limit.gap : r.gap <= limit.gap + 1e-6;
    readings.push_back(r);
  }
  return readings;
}

}  // namespace rakelight
