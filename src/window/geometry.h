// Between pixels of a picture and points of the room.
#pragma once
#include <cmath>
#include <optional>

#include "draw/camera.h"
#include "room/room.h"

namespace rakelight {

/// The pixel at which a world point is drawn; empty when it lies behind the eye.
inline std::optional<dvec2> pixel_of(const Camera& camera, dvec3 world) {
  // eye + t (corner + x sx + y sy) = world
  const dmat3 m(camera.corner, camera.step_x, camera.step_y);
  if (std::abs(glm::determinant(m)) < 1e-18) return std::nullopt;
  const dvec3 s = glm::inverse(m) * (world - camera.eye);
  if (s.x < 1e-4) return std::nullopt;
  return dvec2(s.y, s.z) / s.x;
}

/// The pixel at which a point of a face is drawn; empty behind the eye, and on other faces than the one that a square-on
/// picture shows.
inline std::optional<dvec2> pixel_on(const Camera& camera, const Room& room, int surface, dvec2 p) {
  const dvec3 world = room.surfaces[surface].frame.world_from_surface(p);
  if (camera.facing < 0 || camera.facing == surface) return pixel_of(camera, world);
  return std::nullopt;
}

struct FacePoint { int surface = -1; dvec2 p{0}; };
/// The face that a pixel shows (openings not looked at), and where on it.
inline FacePoint face_at(const Camera& camera, const Room& room, dvec2 pixel) {
  const dvec3 direction = camera.corner + pixel.x * camera.step_x + pixel.y * camera.step_y;
  FacePoint best;
  double nearest = 1e30;
  for (int s = 0; s < static_cast<int>(room.surfaces.size()); ++s) {
    if (camera.facing >= 0 && camera.facing != s) continue;
    const Frame& f = room.surfaces[s].frame;
    const double towards = glm::dot(direction, f.n);
    if (towards > -1e-12 && camera.facing < 0) continue;
    const double t = glm::dot(f.origin - camera.eye, f.n) / towards;
    if (t <= 1e-6 || t >= nearest) continue;
    const dvec2 p = f.surface_from_world(camera.eye + t * direction);
    if (!room.surfaces[s].contains(p)) continue;
    nearest = t;
    best = {s, p};
  }
  return best;
}

/// To the grid of what is dragged, m: 10 mm or half an inch; `free`: to a millimetre or a sixteenth.
inline double snapped(double value, bool free, Units units) {
  constexpr double inch = 0.0254;
  const double grid = units == Units::inch ? free ? inch / 16 : inch / 2 : free ? 0.001 : 0.010;
  return std::round(value / grid) * grid;
}

}  // namespace rakelight
