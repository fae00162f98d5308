// Light vectors of flat patches: polygons clipped to a horizon and to the hole they are seen through.
#pragma once
#include <array>

#include "base/vec.h"
#include "light/light.h"

namespace rakelight {

/// A convex polygon by its vertices; clipping a quadrilateral by five planes leaves at most nine.
struct Polygon {
  std::array<dvec3, 12> v;
  int n = 0;
};

/// The part of a polygon with dot(normal, vertex) >= 0 (Sutherland & Hodgman 1974).
Polygon clipped(const Polygon& polygon, dvec3 normal);

/// Light vector at the origin of a polygon of luminance 1, before any sign for its winding (kernels/polygon.glsl has the formula,
/// edge by edge).
dvec3 polygon_vector(const Polygon& polygon);

/// Four planes through a point and the edges of a rectangular hole; inside is where all dots are >= 0.
struct Hole { std::array<dvec3, 4> inward; };
Hole hole_from(dvec3 p, const std::array<dvec3, 4>& corners);

/// Light vector at p, lx, of the front of the parallelogram corner, u, v (front: n) at luminance 1 cd/m².
/// horizon: normal of the receiving face, whose back is cut off; hole: what the parallelogram is seen through.
/// Either may be null.
dvec3 patch_vector(dvec3 p, const dvec3* horizon, dvec3 corner, dvec3 u, dvec3 v, dvec3 n, const Hole* hole = nullptr);

/// The same by k × k Gauss nodes, k 1 or 2, without horizon or hole; for patches several times their size away.
dvec3 far_patch_vector(dvec3 p, dvec3 corner, dvec3 u, dvec3 v, dvec3 n, int k);

}  // namespace rakelight
