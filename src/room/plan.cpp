#include "room/plan.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace rakelight {
namespace {

dvec2 centroid(const std::vector<dvec2>& outline) {
  // about the first corner, so that a room drawn far from the plan's origin keeps its digits
  const dvec2 base = outline.front();
  dvec2 sum{0};
  double twice_area = 0;
  for (std::size_t i = 1; i + 1 < outline.size(); ++i) {
    const dvec2 p = outline[i] - base, q = outline[i + 1] - base;
    sum += cross(p, q) * (p + q) / 3.0;
    twice_area += cross(p, q);
  }
  return base + sum / twice_area;
}

/// The part of a line that touches corners: between two touches it is all inside or all outside, so the
/// middles decide.
bool holds_between_touches(const std::vector<dvec2>& outline, dvec2 a, dvec2 b, double length, double tolerance) {
  const dvec2 t = (b - a) / length;
  std::vector<double> stops{0, length};
  for (dvec2 corner : outline) {
    const double along = glm::dot(corner - a, t);
    if (std::abs(cross(t, corner - a)) <= tolerance && along > 0 && along < length) stops.push_back(along);
  }
  std::sort(stops.begin(), stops.end());
  for (std::size_t i = 1; i < stops.size(); ++i) {
    if (stops[i] - stops[i - 1] <= 2 * tolerance) continue;
    if (!outline_contains(outline, a + 0.5 * (stops[i - 1] + stops[i]) * t, tolerance)) return false;
  }
  return true;
}

}  // namespace

double signed_area(const std::vector<dvec2>& outline) {
  double twice = 0;
  for (std::size_t i = 1; i + 1 < outline.size(); ++i)
    twice += cross(outline[i] - outline[0], outline[i + 1] - outline[0]);
  return 0.5 * twice;
}

double distance_to_segment(dvec2 point, dvec2 p, dvec2 q) {
  const dvec2 d = q - p;
  const double length_squared = glm::dot(d, d);
  const double t = length_squared > 0 ? std::clamp(glm::dot(point - p, d) / length_squared, 0.0, 1.0) : 0.0;
  return glm::length(point - (p + t * d));
}

double distance_to_outline(const std::vector<dvec2>& outline, dvec2 point) {
  double nearest = std::numeric_limits<double>::infinity();
  dvec2 p = outline.back();
  for (dvec2 q : outline) {
    nearest = std::min(nearest, distance_to_segment(point, p, q));
    p = q;
  }
  return nearest;
}

bool outline_contains(const std::vector<dvec2>& outline, dvec2 point, double tolerance) {
  bool inside = false;
  dvec2 p = outline.back();
  for (dvec2 q : outline) {
    if (distance_to_segment(point, p, q) <= tolerance) return true;
    // crossing number of a ray towards +x
    if ((p.y > point.y) != (q.y > point.y) && (cross(q - p, point - p) > 0) == (q.y > p.y)) inside = !inside;
    p = q;
  }
  return inside;
}

bool outline_holds(const std::vector<dvec2>& outline, dvec2 a, dvec2 b, double tolerance) {
  const dvec2 d = b - a;
  const double length_squared = glm::dot(d, d);
  if (length_squared <= tolerance * tolerance) return true;
  const double near_line = tolerance * std::sqrt(length_squared);
  bool touches = false;
  dvec2 p = outline.back();
  double side_p = cross(d, p - a);
  for (dvec2 q : outline) {
    const double side_q = cross(d, q - a);
    if (std::abs(side_q) <= near_line) {
      const double along = glm::dot(q - a, d);
      touches = touches || (along >= -near_line && along <= length_squared + near_line);
    } else if (side_p * side_q < 0 && std::abs(side_p) > near_line) {
      // The line passes through this edge; an end on the edge (the usual case: points on faces) leaves it
      // freely into the room but not out of it.
      const dvec2 e = q - p;
      const double behind = -tolerance * std::sqrt(glm::dot(e, e));
      if ((cross(a - p, e) < behind) != (cross(b - p, e) < behind)) return false;
    }
    p = q;
    side_p = side_q;
  }
  return !touches || holds_between_touches(outline, a, b, std::sqrt(length_squared), tolerance);
}

double distance_along(const std::vector<dvec2>& outline, dvec2 from, dvec2 direction, double tolerance) {
  double nearest = std::numeric_limits<double>::infinity();
  dvec2 p = outline.back();
  for (dvec2 q : outline) {
    const dvec2 e = q - p;
    const double across = cross(direction, e), reach = tolerance * glm::length(e);
    if (std::abs(across) > reach) {
      const double along = cross(p - from, e) / across;
      const double share = cross(p - from, direction) / across;
      const double slack = tolerance / glm::length(e);
      if (along > tolerance && share >= -slack && share <= 1 + slack) nearest = std::min(nearest, along);
    }
    p = q;
  }
  return nearest;
}

dvec2 middle_of(const std::vector<dvec2>& outline, bool convex) {
  if (convex) return centroid(outline);
  dvec2 lo = outline.front(), hi = outline.front();
  for (dvec2 p : outline) {
    lo = glm::min(lo, p);
    hi = glm::max(hi, p);
  }
  constexpr int cells = 48;
  dvec2 best = outline.front();
  double clear = -1;
  auto offer = [&](dvec2 point) {
    const double distance = distance_to_outline(outline, point);
    if (distance <= clear || !outline_contains(outline, point, 0)) return false;
    clear = distance;
    best = point;
    return true;
  };
  for (int i = 0; i < cells; ++i)
    for (int j = 0; j < cells; ++j) offer(lo + (hi - lo) * dvec2{(i + 0.5) / cells, (j + 0.5) / cells});
  for (dvec2 step = (hi - lo) / double(cells); std::max(step.x, step.y) > 1e-3;) {
    const dvec2 at = best;
    bool moved = false;
    for (int i = -1; i <= 1; ++i)
      for (int j = -1; j <= 1; ++j) moved = offer(at + step * dvec2{i, j}) || moved;
    if (!moved) step *= 0.5;
  }
  return best;
}

}  // namespace rakelight
