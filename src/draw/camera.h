// From a View to rays: every picture is the bundle of rays from one eye through a grid of points.
#pragma once
#include "draw/draw.h"

namespace rakelight {

/// The ray of image point (x, y), counted in pixels from the top left corner of the picture, leaves `eye` towards
/// eye + corner + x step_x + y step_y. Square-on pictures put those points on the surface itself, so that it
/// appears undistorted while the rest is seen as from the eye; perspective ones one metre ahead.
struct Camera {
  dvec3 eye{0}, corner{0}, step_x{0}, step_y{0};
  int facing = -1;              ///< the surface of a square-on picture, met wherever the ray's point lies on it
  double footprint = 0;         ///< square-on: side of a pixel on the surface, m
  double footprint_angle = 0;   ///< perspective: side of a pixel at the middle of the picture, rad

  dvec3 direction(double x, double y) const { return glm::normalize(corner + x * step_x + y * step_y); }
};

/// Throws std::invalid_argument when the view has no picture (no pixels, eye on its target or on the surface).
Camera camera_of(const Scene& scene, const View& view);

}  // namespace rakelight
