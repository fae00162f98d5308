// Looks at a layout from outside: at the sheets' pieces on a rectangular face alone, with code of its own. It shares nothing with what
// made the layout but the types.
#pragma once
#include <algorithm>
#include <cmath>
#include <set>
#include <string>
#include <vector>

#include "board/board.h"

namespace checker {

using namespace rakelight;

/// Where two sheets touch, as found from their pieces; x = where an upright one stands, lo to hi along it.
struct Touch { bool upright = true; double at = 0, lo = 0, hi = 0; };

inline std::vector<Rect> holes(const Room& room, int surface) {
  std::vector<Rect> out;
  for (const auto& w : room.windows)
    if (w.surface == surface) out.push_back(w.opening);
  for (const auto& d : room.doors)
    if (d.surface == surface) out.push_back(d.opening);
  return out;
}

/// Every cell between all edges holds one piece where there is board, none elsewhere.
inline bool covers_once(const Room& room, int surface, const Layout& layout) {
  const Rect box = room.surfaces[surface].box;
  std::vector<double> xs{box.lo.x, box.hi.x}, ys{box.lo.y, box.hi.y};
  std::vector<Rect> pieces, open = holes(room, surface);
  for (const Sheet& s : layout.sheets) pieces.insert(pieces.end(), s.pieces.begin(), s.pieces.end());
  for (const auto* rects : {&pieces, &open})
    for (const Rect& r : *rects) {
      xs.insert(xs.end(), {r.lo.x, r.hi.x});
      ys.insert(ys.end(), {r.lo.y, r.hi.y});
    }
  std::sort(xs.begin(), xs.end());
  std::sort(ys.begin(), ys.end());
  for (std::size_t i = 0; i + 1 < xs.size(); ++i)
    for (std::size_t j = 0; j + 1 < ys.size(); ++j) {
      if (xs[i + 1] - xs[i] < 1e-5 || ys[j + 1] - ys[j] < 1e-5) continue;  // slivers of rounding
      const dvec2 p{0.5 * (xs[i] + xs[i + 1]), 0.5 * (ys[j] + ys[j + 1])};
      const auto count = std::count_if(pieces.begin(), pieces.end(), [&](const Rect& r) { return r.contains(p); });
      const bool board = box.contains(p) && std::none_of(open.begin(), open.end(), [&](const Rect& r) { return r.contains(p); });
      if (count != (board ? 1 : 0)) return false;
    }
  return true;
}

/// Shared edges of different sheets, pieces of one line joined up.
inline std::vector<Touch> touches(const Layout& layout) {
  std::vector<Touch> found;
  for (std::size_t a = 0; a < layout.sheets.size(); ++a)
    for (std::size_t b = 0; b < layout.sheets.size(); ++b) {
      if (a == b) continue;
      for (const Rect& p : layout.sheets[a].pieces)
        for (const Rect& q : layout.sheets[b].pieces)
          for (int axis = 0; axis < 2; ++axis) {
            const int other = 1 - axis;
            if (std::abs(p.hi[axis] - q.lo[axis]) > 1e-6) continue;
            const double lo = std::max(p.lo[other], q.lo[other]), hi = std::min(p.hi[other], q.hi[other]);
            if (hi - lo > 1e-5) found.push_back({axis == 0, p.hi[axis], lo, hi});
          }
    }
  std::sort(found.begin(), found.end(), [](const Touch& a, const Touch& b) {
    return std::tuple(a.upright, std::round(a.at * 1e5), a.lo) < std::tuple(b.upright, std::round(b.at * 1e5), b.lo);
  });
  std::vector<Touch> out;
  for (const Touch& t : found) {
    if (!out.empty() && out.back().upright == t.upright && std::abs(out.back().at - t.at) < 1e-5 && t.lo < out.back().hi + 1e-5) out.back().hi = std::max(out.back().hi, t.hi);
    else out.push_back(t);
  }
  return out;
}

inline double metres(const std::vector<Touch>& all) {
  double sum = 0;
  for (const Touch& t : all) sum += t.hi - t.lo;
  return sum;
}

/// Ids of the rules of position that the touches break, judged from the numbers alone: studs every `spacing` from the left, upright.
inline std::set<std::string> broken(const Room& room, int surface, const Layout& layout, double spacing) {
  std::set<std::string> out;
  const Rect box = room.surfaces[surface].box;
  const bool flat = layout.run == Run::horizontal;
  std::vector<Touch> butts;
  for (const Touch& t : touches(layout)) {
    const bool butt = t.upright == flat;

    if (t.upright) {
      double off = box.hi.x - t.at;  // the corner has its own stud; none stands within 24 mm of it
      for (double stud = box.lo.x; stud < box.hi.x - 0.024; stud += spacing) off = std::min(off, std::abs(t.at - stud));
      if (off > 0.0201) out.insert("framing");  // 20 mm, and rounding
    }
    if (butt) butts.push_back(t);
    for (const Rect& o : holes(room, surface))
      for (dvec2 c : {o.lo, dvec2(o.lo.x, o.hi.y), o.hi, dvec2(o.hi.x, o.lo.y)}) {
        if (c.x < box.lo.x + 1e-4 || c.x > box.hi.x - 1e-4 || c.y < box.lo.y + 1e-4 || c.y > box.hi.y - 1e-4) continue;
        const double along = t.upright ? c.y : c.x, across = t.upright ? c.x : c.y;
        const double beyond = std::max({t.lo - along, along - t.hi, 0.0});
        if (std::hypot(beyond, across - t.at) < 0.2 - 1e-4) out.insert("opening");
      }
  }
  for (std::size_t i = 0; i < butts.size(); ++i)
    for (std::size_t k = 0; k < butts.size(); ++k)
      if (i != k && std::abs(butts[i].hi - butts[k].lo) < 1e-4 && std::abs(butts[i].at - butts[k].at) < 0.4 - 1e-4) out.insert("stagger");
  // ends in line are one touch here, taller than a row: some row's edge lies inside it
  for (const Touch& b : butts)
    for (const Touch& t : touches(layout))
      if (t.upright != b.upright && t.at > b.lo + 1e-4 && t.at < b.hi - 1e-4 && t.lo < b.at - 1e-4 && t.hi > b.at + 1e-4) out.insert("stagger");
  return out;
}

}  // namespace checker
