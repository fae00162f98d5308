#include "light/sun.h"

#include <algorithm>
#include <cmath>

#include "kernel/glass.h"
#include "kernel/window.h"

namespace rakelight {

SunAt sun_through(const Room& room, const SkyState& sky, const std::vector<Glazing>& glazing, dvec3 p, int p_window) {
  SunAt found;
  if (sky.dark || !sky.sun_up || sky.direct_normal <= 0) return found;
  const double radius = kernel::sun_radius();
  const double altitude = std::asin(std::clamp(sky.sun_direction.z, -1.0, 1.0));
  const double over_skyline = kernel::disc_share((altitude - std::max(0.0, sky.skyline)) / radius);
  if (over_skyline <= 0) return found;
  for (int i = 0; i < static_cast<int>(room.windows.size()); ++i) {
    const Window& w = room.windows[i];
    const Frame& f = room.surfaces[w.surface].frame;
    const dvec3 s = f.surface_direction(sky.sun_direction);
    if (s.z >= 0) continue;
    dvec3 local(f.surface_from_world(p), f.height_of(p));
    if (p_window == i) local.z = std::min(local.z, -1e-12);
    else if (local.z <= 1e-12) continue;
    const Rect g = w.glass();
    const double share = kernel::window_sun_share(local, s, w.opening.lo, w.opening.hi, g.lo, g.hi, w.reveal, radius);
    if (share <= 0) continue;
    if (p_window != i && (!room.convex || p_window >= 0)) {
      const dvec3 crossing = p + (local.z / -s.z) * sky.sun_direction;
      if (!open_between(room, p, p_window, crossing, -1)) continue;
    }
    const double e = sky.direct_normal * over_skyline * share *
                     kernel::glass_transmittance(-s.z, glazing[i].panes, glazing[i].extinction, glazing[i].scale);
    // the beam reaches a point through one window only, but its penumbra may reach through two
    if (found.window < 0 || e > 0) {
      if (found.window < 0) found.window = i;
      found.normal_illuminance += e;
    }
  }
  return found;
}

dvec3 sun_vector(const SkyState& sky, const SunAt& sun, dvec3 n) {
  const double along = glm::dot(sky.sun_direction, n);
  const double lit = kernel::disc_terminator(std::asin(std::clamp(along, -1.0, 1.0)), kernel::sun_radius());
  if (lit <= 0) return dvec3(0);
  return sun.normal_illuminance * (sky.sun_direction + (lit - along) * n);
}

}  // namespace rakelight
