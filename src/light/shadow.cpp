#include "light/shadow.h"

#include <algorithm>

#include "room/plan.h"

namespace rakelight {

Shadows::Shadows(const Room& room, dvec3 p) : room_(&room), p_(p) {
  if (room.convex) return;
  const int n = static_cast<int>(room.plan.size());
  const dvec2 from(p);
  for (int i = 0; i < n; ++i) {
    const dvec2 c = room.plan[i], before = room.plan[(i + n - 1) % n], after = room.plan[(i + 1) % n];
    if (cross(c - before, after - c) <= 0) continue;  // walked clockwise, so inner corners turn left
    const dvec2 d = c - from;
    const double distance = glm::length(d);
    if (distance <= room.tolerance) continue;
    const double a = cross(d, before - c), b = cross(d, after - c), touch = room.tolerance * distance;
    const bool left = a >= -touch && b >= -touch, right = a <= touch && b <= touch;
    if (left == right || !room.sees(p, dvec3(c, p.z))) continue;
    const dvec2 along = d / distance;
    edges_.push_back({c, c + distance_along(room.plan, c, along, room.tolerance) * along, left ? -1.0 : 1.0});
  }
}

Shadows::Seen Shadows::of(dvec3 corner, dvec3 u, dvec3 v, const Edge** crossed) const {
  if (room_->convex) return Seen::whole;
  const dvec2 c(corner), du(u), dv(v);
  const dvec2 at[4] = {c, c + du, c + dv, c + du + dv};
  for (const Edge& edge : edges_) {
    const dvec2 d = edge.end - edge.corner;
    const double touch = 1e-9 * glm::dot(d, d);
    double left = -1e300, right = 1e300, near = 1e300, far = -1e300;
    for (const dvec2 q : at) {
      const double side = cross(d, q - edge.corner), along = glm::dot(d, q - edge.corner);
      left = std::max(left, side);
      right = std::min(right, side);
      near = std::min(near, along);
      far = std::max(far, along);
    }
    if (left > touch && right < -touch && far > touch && near < glm::dot(d, d) + touch) {
      *crossed = &edge;
      return Seen::part;
    }
  }
  return sees(corner + 0.5 * (u + v)) ? Seen::whole : Seen::none;
}

}  // namespace rakelight
