#include "board/ground.h"

#include <algorithm>
#include <limits>

namespace rakelight {
namespace {

std::vector<double> inside(const std::vector<double>& breaks, double lo, double hi) {
  std::vector<double> out;
  for (double b : breaks)
    if (b > lo + filled_gap && b < hi - filled_gap) out.push_back(b);
  return out;
}

}  // namespace

FaceGround ground_of(const Job& job, const Room& room, int surface, Run run) {
  const Surface& s = room.surfaces[surface];
  FaceGround ground;
  for (dvec2 p : s.outline) ground.outline.push_back(turned(p, run));
  ground.box = turned(s.box, run);
  for (const Window& w : room.windows)
    if (w.surface == surface) ground.openings.push_back(turned(w.opening, run));
  for (const Door& d : room.doors)
    if (d.surface == surface) ground.openings.push_back(turned(d.opening, run));
  if (s.spec < 0) return ground;
  const SurfaceSpec& spec = job.surfaces[s.spec];
  // told from the face's left and lower edge
  auto at_x = inside(*spec.control_joints, 0, s.box.width()), at_y = inside(*spec.movement_joints, 0, s.box.height());
  for (double& b : at_x) b += s.box.lo.x;
  for (double& b : at_y) b += s.box.lo.y;
  ground.breaks_u = run == Run::horizontal ? at_x : at_y;
  ground.breaks_v = run == Run::horizontal ? at_y : at_x;
  return ground;
}

FaceGround transposed(const FaceGround& g) {
  FaceGround out;
  for (dvec2 p : g.outline) out.outline.push_back({p.y, p.x});
  for (Rect r : g.openings) out.openings.push_back({{r.lo.y, r.lo.x}, {r.hi.y, r.hi.x}});
  out.box = {{g.box.lo.y, g.box.lo.x}, {g.box.hi.y, g.box.hi.x}};
  out.breaks_u = g.breaks_v;
  out.breaks_v = g.breaks_u;
  return out;
}

Intervals inside_at(const FaceGround& g, double v, int side) {
  std::vector<double> at;
  dvec2 p = g.outline.back();
  const double beside = v + (side > 0 ? snap : -snap);
  for (dvec2 q : g.outline) {
    if ((p.y > beside) != (q.y > beside)) {
      const double share = std::clamp((v - p.y) / (q.y - p.y), 0.0, 1.0);
      at.push_back(p.x + share * (q.x - p.x));
    }
    p = q;
  }
  std::sort(at.begin(), at.end());
  Intervals out;
  for (std::size_t i = 0; i + 1 < at.size(); i += 2) out.push_back({at[i], at[i + 1]});
  return out;
}

Intervals board_at(const FaceGround& g, double v, int side) {
  Intervals out = inside_at(g, v, side);
  const double beside = v + (side > 0 ? snap : -snap);
  for (const Rect& o : g.openings)
    if (o.lo.y < beside && o.hi.y > beside) out = without(out, {o.lo.x, o.hi.x});
  return out;
}

Interval extent(const FaceGround& g, double bottom, double top) {
  Interval out{std::numeric_limits<double>::infinity(), -std::numeric_limits<double>::infinity()};
  auto widen = [&](double u) { out = {std::min(out.lo, u), std::max(out.hi, u)}; };
  for (dvec2 p : g.outline)
    if (p.y > bottom && p.y < top) widen(p.x);
  for (auto [v, side] : {std::pair{bottom, +1}, std::pair{top, -1}})
    for (Interval part : inside_at(g, v, side)) {
      widen(part.lo);
      widen(part.hi);
    }
  return out;
}

}  // namespace rakelight
