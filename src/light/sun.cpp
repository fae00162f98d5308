#include "light/sun.h"

#include <algorithm>
#include <cmath>

#include "kernel/glass.h"
#include "kernel/window.h"
#include "light/outside.h"

namespace rakelight {

SunBeams::SunBeams(const Room& room, const SkyState& sky, const std::vector<Glazing>& glazing) : room_(room), sun_(sky.sun_direction) {
  if (sky.dark || !sky.sun_up || sky.direct_normal <= 0) return;
  const double over_skyline = sun_over_skyline(sky, sky.sun_direction);
  if (over_skyline <= 0) return;
  for (int i = 0; i < static_cast<int>(room.windows.size()); ++i) {
    const dvec3 s = room.surfaces[room.windows[i].surface].frame.surface_direction(sky.sun_direction);
    if (s.z >= 0) continue;
    const Glazing bare = make_glazing(room.windows[i].glazing, room.windows[i].transmittance);
    const double before = sky.direct_normal * over_skyline;
    through_.push_back({i, s, shades_of(room.windows[i]), before * kernel::glass_transmittance(-s.z, glazing[i].panes, glazing[i].extinction, glazing[i].scale),
                        before * kernel::glass_transmittance(-s.z, bare.panes, bare.extinction, bare.scale)});
  }
}

bool SunBeams::may_reach(dvec3 centre, double radius, int p_window) const {
  return std::any_of(through_.begin(), through_.end(), [&](const Through& t) {
    if (p_window == t.window) return true;
    const Window& w = room_.windows[t.window];
    const Frame& f = room_.surfaces[w.surface].frame;
    const double off = f.height_of(centre);
    if (off + radius <= 0) return false;
    // where the ball's shadow backwards along the beam meets the wall: as wide as the ball lies slantwise, and its penumbra
    const double up = -t.to_sun.z, way = std::max(0.0, off + radius) / up, wide = radius * (1 + glm::length(dvec2(t.to_sun)) / up) + 3 * kernel::sun_radius() * way / up + 1e-3;
    const dvec2 at = f.surface_from_world(centre) + off / up * dvec2(t.to_sun);
    return at.x > w.opening.lo.x - wide && at.x < w.opening.hi.x + wide && at.y > w.opening.lo.y - wide && at.y < w.opening.hi.y + wide;
  });
}

SunAt SunBeams::at(dvec3 p, int p_window) const {
  SunAt found;
  for (const Through& t : through_) {
    const Window& w = room_.windows[t.window];
    const Frame& f = room_.surfaces[w.surface].frame;
    dvec3 local(f.surface_from_world(p), f.height_of(p));
    if (p_window == t.window) local.z = std::min(local.z, -1e-12);
    else if (local.z <= 1e-12) continue;
    const Rect g = w.glass();
    const double share = kernel::shaded_sun_share(local, t.to_sun, w.opening.lo, w.opening.hi, g.lo, g.hi, w.reveal, kernel::sun_radius(), t.shades);
    if (share <= 0) continue;
    if (p_window != t.window && (!room_.convex || p_window >= 0)) {
      const dvec3 crossing = p + (local.z / -t.to_sun.z) * sun_;
      if (!open_between(room_, p, p_window, crossing, -1)) continue;
    }
    // the beam reaches a point through one window only, but its penumbra may reach through two
    if (found.window < 0) found.window = t.window;
    found.normal_illuminance += share * t.illuminance;
  }
  return found;
}

double SunBeams::on_glass(dvec3 p, int window) const {
  for (const Through& t : through_) {
    if (t.window != window) continue;
    const Window& w = room_.windows[window];
    const Frame& f = room_.surfaces[w.surface].frame;
    const Rect g = w.glass();
    // a hair before the glass, whose own edges then hide nothing
    const dvec3 local(f.surface_from_world(p), -w.reveal + 1e-6);
    const double share = kernel::shaded_sun_share(local, t.to_sun, w.opening.lo, w.opening.hi, g.lo, g.hi, w.reveal, kernel::sun_radius(), t.shades);
    return share * -t.to_sun.z * t.bare;
  }
  return 0;
}

SunAt sun_through(const Room& room, const SkyState& sky, const std::vector<Glazing>& glazing, dvec3 p, int p_window) {
  return SunBeams(room, sky, glazing).at(p, p_window);
}

dvec3 sun_vector(const SkyState& sky, const SunAt& sun, dvec3 n) {
  const double along = glm::dot(sky.sun_direction, n);
  const double lit = kernel::disc_terminator(std::asin(std::clamp(along, -1.0, 1.0)), kernel::sun_radius());
  if (lit <= 0) return dvec3(0);
  return sun.normal_illuminance * (sky.sun_direction + (lit - along) * n);
}

}  // namespace rakelight
