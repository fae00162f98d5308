#include "light/outside.h"

#include <algorithm>
#include <cmath>

#include "base/units.h"

namespace rakelight {

kernel::Shades shades_of(const Window& window) {
  const WindowShades& w = window.shades;
  kernel::Shades s = kernel::no_shades();
  s.eaves = w.eaves;
  s.eaves_y = w.eaves_y;
  s.eaves_lo = w.eaves_lo;
  s.eaves_hi = w.eaves_hi;
  s.left = w.left;
  s.left_x = w.left_x;
  s.right = w.right;
  s.right_x = w.right_x;
  return s;
}

NearOutside near_outside(const Room& room, int window, const SkyState& sky) {
  NearOutside n;
  if (sky.dark) return n;
  n.skyline = sky.skyline_luminance;
  n.ground = sky.ground_luminance;
  n.shaded_ground = sky.shaded_ground_luminance;
  const Window& w = room.windows[window];
  if (room.in_roof(w)) return n;
  const double behind = glm::dot(sky.sun_direction, room.surfaces[w.surface].frame.n), up = sky.sun_direction.z;
  constexpr double farthest = 1e4;  // m
  if (sky.house_height > 0 && behind > 0 && up > 0) n.reach = std::min(farthest, sky.house_height * behind / up);
  if (!w.shades.any()) return n;
  const double upright = (sky.diffuse_horizontal + sky.direct_horizontal) / (2 * pi);  // of a white front
  n.fins = w.shades.reflectance * upright;
  const double h = std::max(1e-3, w.shades.eaves_y + sky.ground_below), shaded = n.reach / std::hypot(n.reach, h);
  // the front under them is taken to be as light as eaves and fins
  n.eaves = w.shades.reflectance * 0.5 * (shaded * n.shaded_ground + (1 - shaded) * n.ground + n.fins);
  return n;
}

double luminance_beyond(const Room& room, int window, const SkyState& sky, dvec2 glass, dvec3 w) {
  const Frame& frame = room.surfaces[room.windows[window].surface].frame;
  const dvec3 d = frame.surface_direction(w);
  const kernel::Shades s = shades_of(room.windows[window]);
  const NearOutside near = near_outside(room, window, sky);
  double nearest = 1e30, found = -1;
  if (s.eaves > 0 && d.y > 1e-9) {
    const double t = (s.eaves_y - glass.y) / d.y, x = glass.x + t * d.x;
    if (-d.z * t < s.eaves && x > s.eaves_lo && x < s.eaves_hi) {
      nearest = t;
      found = near.eaves;
    }
  }
  for (const bool left : {true, false}) {
    const double out = left ? s.left : s.right, towards = left ? -d.x : d.x;
    if (out <= 0 || towards <= 1e-9) continue;
    const double t = ((left ? s.left_x : s.right_x) - glass.x) / d.x;
    if (t < nearest && -d.z * t < out) {
      nearest = t;
      found = near.fins;
    }
  }
  if (found >= 0) return found;
  if (w.z <= 0) {
    const double away = -d.z * (glass.y + sky.ground_below) / std::max(-w.z, 1e-9);
    return away < near.reach ? near.shaded_ground : near.ground;
  }
  if (w.z < std::sin(sky.skyline_at(std::atan2(w.y, w.x)))) return near.skyline;
  return sky_luminance(sky, w);
}

EvenBands::EvenBands(const Room& room, const Outskirts& outskirts) {
  const bool shadow = outskirts.house_height > 0;
  if (shadow) reaches_ = {0.25, 0.5, 1, 1.5, 2, 3, 4, 6, 8, 12, 18, 30, 60};
  const int strips = static_cast<int>(reaches_.size()) + 1;
  count_ = 1;
  std::vector<int> of_wall(room.surfaces.size(), -1);
  for (const Window& w : room.windows) {
    // where nothing casts a shadow all windows share one band
    int& first = of_wall[shadow ? static_cast<std::size_t>(w.surface) : 0];
    if (first < 0) {
      first = count_;
      count_ += strips;
    }
    ground_.push_back(first);
  }
  for (const Window& w : room.windows) {
    shades_.push_back(w.shades.any() ? count_ : 0);
    if (w.shades.any()) count_ += 2;
  }
}

std::vector<double> EvenBands::luminance(const Room& room, const SkyState& sky) const {
  std::vector<double> all(static_cast<std::size_t>(count_), 0.0);
  if (sky.dark) return all;
  all[0] = sky.skyline_luminance;
  // ground nearer than the reach is shaded; within the strip where it ends, light goes about evenly by the angle under which
  // the ground is seen from a little behind the house's front
  const auto angle = [&](double d) { return std::atan((d + 2) / (sky.ground_below + 1.2)); };
  for (std::size_t i = 0; i < room.windows.size(); ++i) {
    const int window = static_cast<int>(i);
    const NearOutside near = near_outside(room, window, sky);
    double from = 0;
    for (std::size_t k = 0; k <= reaches_.size(); ++k) {
      const double to = k < reaches_.size() ? reaches_[k] : 1e9;
      const double shaded = std::clamp((angle(near.reach) - angle(from)) / (angle(to) - angle(from)), 0.0, 1.0);
      all[static_cast<std::size_t>(ground(window, static_cast<int>(k)))] = shaded * near.shaded_ground + (1 - shaded) * near.ground;
      from = to;
    }
    if (!room.windows[i].shades.any()) continue;
    all[static_cast<std::size_t>(eaves(window))] = near.eaves;
    all[static_cast<std::size_t>(fins(window))] = near.fins;
  }
  return all;
}

}  // namespace rakelight
