// Polygons in plan: what lies inside, what a straight line meets, where the middle is. Metres; outlines
// are simple and closed by their last edge (from the last corner to the first).
#pragma once
#include <vector>

#include "base/vec.h"

namespace rakelight {

inline double cross(dvec2 a, dvec2 b) { return a.x * b.y - a.y * b.x; }

/// Area by the shoelace formula, m²; negative when the corners run clockwise.
double signed_area(const std::vector<dvec2>& outline);

/// Distance from a point to the segment p–q, m.
double distance_to_segment(dvec2 point, dvec2 p, dvec2 q);

/// Distance from a point to the nearest edge, m; the same inside and outside.
double distance_to_outline(const std::vector<dvec2>& outline, dvec2 point);

/// Whether a point lies inside the outline or within `tolerance` of an edge.
bool outline_contains(const std::vector<dvec2>& outline, dvec2 point, double tolerance);

/// Whether the segment a–b stays inside a clockwise outline. Lines within `tolerance` of a corner or an edge
/// touch it, and touching does not hide. Both ends must lie inside or on the outline.
bool outline_holds(const std::vector<dvec2>& outline, dvec2 a, dvec2 b, double tolerance);

/// How far a ray runs before it meets an edge, m; infinity when it meets none. `direction` has length 1;
/// edges through the start (within `tolerance`) do not count.
double distance_along(const std::vector<dvec2>& outline, dvec2 from, dvec2 direction, double tolerance);

/// A point well inside: the centroid of a convex outline, else the point farthest from every edge, to 1 mm.
dvec2 middle_of(const std::vector<dvec2>& outline, bool convex);

}  // namespace rakelight
