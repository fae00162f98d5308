#include "light/receiver.h"

#include <algorithm>
#include <limits>

namespace rakelight {
namespace {

/// Where the segment from a point in a recess to another point passes the wall's face; false when it hits the reveal.
bool leave_recess(const Room& room, int window, dvec3& inside, dvec3 other) {
  const Window& w = room.windows[window];
  const Frame& f = room.surfaces[w.surface].frame;
  const double h0 = f.height_of(inside), h1 = f.height_of(other);
  if (h1 <= 0) return false;
  const dvec3 crossing = inside + (h0 / (h0 - h1)) * (other - inside);
  if (!w.opening.contains(f.surface_from_world(crossing))) return false;
  inside = crossing;
  return true;
}

constexpr double inset = 1e-3;

}  // namespace

bool open_between(const Room& room, dvec3 a, int a_window, dvec3 b, int b_window) {
  if (a_window >= 0 && a_window == b_window) return true;
  if (a_window >= 0 && !leave_recess(room, a_window, a, b)) return false;
  if (b_window >= 0 && !leave_recess(room, b_window, b, a)) return false;
  return room.convex || room.sees(a, b);
}

dvec2 settled(const Surface& surface, dvec2 p) {
  const dvec2 lo = surface.box.lo + inset, hi = surface.box.hi - inset;
  p = {std::clamp(p.x, lo.x, hi.x), std::clamp(p.y, lo.y, hi.y)};
  if (surface.kind == Surface::Kind::wall) return p;
  const auto& o = surface.outline;
  const int n = static_cast<int>(o.size());
  double turn = 0;
  for (int i = 0; i < n; ++i) turn += o[i].x * o[(i + 1) % n].y - o[(i + 1) % n].x * o[i].y;
  const bool inside = surface.contains(p);
  double nearest = std::numeric_limits<double>::infinity();
  dvec2 foot = p, inwards{0};
  for (int i = 0; i < n; ++i) {
    const dvec2 a = o[i], d = o[(i + 1) % n] - a;
    const double t = std::clamp(glm::dot(p - a, d) / glm::dot(d, d), 0.0, 1.0);
    const dvec2 q = a + t * d;
    const double distance = glm::length(p - q);
    if (distance < nearest) {
      nearest = distance;
      foot = q;
      inwards = glm::normalize(turn > 0 ? dvec2(-d.y, d.x) : dvec2(d.y, -d.x));
    }
  }
  if (inside && nearest >= inset) return p;
  return foot + inset * inwards;
}

}  // namespace rakelight
