// Sets of points on a line as sorted, disjoint intervals.
#pragma once
#include <algorithm>
#include <vector>

namespace rakelight {

struct Interval {
  double lo = 0, hi = 0;
  double length() const { return hi - lo; }
};
using Intervals = std::vector<Interval>;

inline Intervals intersection(const Intervals& a, const Intervals& b) {
  Intervals out;
  for (std::size_t i = 0, j = 0; i < a.size() && j < b.size();) {
    const double lo = std::max(a[i].lo, b[j].lo), hi = std::min(a[i].hi, b[j].hi);
    if (hi > lo) out.push_back({lo, hi});
    if (a[i].hi < b[j].hi) ++i;
    else ++j;
  }
  return out;
}

inline Intervals without(const Intervals& a, Interval hole) {
  Intervals out;
  for (Interval part : a) {
    if (hole.hi <= part.lo || hole.lo >= part.hi) {
      out.push_back(part);
      continue;
    }
    if (hole.lo > part.lo) out.push_back({part.lo, hole.lo});
    if (hole.hi < part.hi) out.push_back({hole.hi, part.hi});
  }
  return out;
}

}  // namespace rakelight
