#include "board/rows.h"

#include <algorithm>
#include <cmath>

namespace rakelight {
namespace {

constexpr double least_stagger = 0.400;  // m: DIN 18181, from memory

/// Cuts [lo, hi] into steps, the first of length `first`; ends included.
std::vector<double> cuts(double lo, double hi, double first, double step) {
  std::vector<double> out{lo};
  for (int k = 0; hi - (lo + first + k * step) > filled_gap; ++k) out.push_back(lo + first + k * step);
  out.push_back(hi);
  return out;
}

/// [lo, hi] parted at breaks; `cut(lo, hi, first part)` gives the edges of one part.
template <class Cut> std::vector<double> parted(double lo, double hi, const std::vector<double>& breaks, Cut&& cut) {
  std::vector<double> out;
  double from = lo;
  for (std::size_t i = 0; i <= breaks.size(); ++i) {
    const double to = i < breaks.size() ? std::clamp(breaks[i], lo, hi) : hi;
    if (to - from <= snap) continue;
    const std::vector<double> edges = cut(from, to, from == lo);
    out.insert(out.end(), edges.begin() + (out.empty() ? 0 : 1), edges.end());
    from = to;
  }
  return out;
}

}  // namespace

std::vector<double> row_edges(const FaceGround& g, double width, double first_row) {
  return parted(g.box.lo.y, g.box.hi.y, g.breaks_v, [&](double lo, double hi, bool first) {
    return cuts(lo, hi, first && first_row > 0 ? std::min(first_row, width) : width, width);
  });
}

std::vector<double> row_ends(const FaceGround& g, Interval row, double first, double length, const std::vector<double>& allowed) {
  if (row.hi - row.lo <= snap) return {row.lo, row.hi};
  return parted(row.lo, row.hi, g.breaks_u, [&](double lo, double hi, bool first_part) {
    std::vector<double> out{lo};
    if (hi - lo > length + filled_gap) {
      // the first sheet is told from the face's edge, where slanted rows begin as well
      double next = first_part ? g.box.lo.x + std::min(first, length) : lo + length;
      while (next - lo <= filled_gap) next += length;
      if (!first_part && !allowed.empty()) {
        const auto past = std::upper_bound(allowed.begin(), allowed.end(), next + snap);
        if (past != allowed.begin() && *(past - 1) > lo + filled_gap) next = *(past - 1);
      }
      while (hi - next > filled_gap) {
        out.push_back(next);
        const double reach = next + length;
        if (hi - reach <= filled_gap) break;
        const auto past = std::upper_bound(allowed.begin(), allowed.end(), reach + snap);
        next = past != allowed.begin() && *(past - 1) > next + filled_gap ? *(past - 1) : reach;
      }
    }
    out.push_back(hi);
    return out;
  });
}

std::vector<double> bond_ends(const FaceGround& g, Interval row, bool shifted, double length) {
  if (g.breaks_u.empty()) {
    if (row.length() <= length + filled_gap) return {row.lo, row.hi};
    const double lo = g.box.lo.x, hi = g.box.hi.x;
    std::vector<double> ends = cuts(lo, hi, shifted ? 0.5 * length : length, length);
    if (!shifted) return ends;
    const double offcut = std::fmod(hi - lo, length);
    if (std::min(offcut, length - offcut) < least_stagger) return ends;
    std::vector<double> from_offcut = cuts(lo, hi, offcut, length);
    return from_offcut.size() < ends.size() ? from_offcut : ends;
  }
  return parted(row.lo, row.hi, g.breaks_u, [&](double lo, double hi, bool) {
    FaceGround part;
    part.box = {{lo, g.box.lo.y}, {hi, g.box.hi.y}};
    return bond_ends(part, {lo, hi}, shifted, length);
  });
}

}  // namespace rakelight
