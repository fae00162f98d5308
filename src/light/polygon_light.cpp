#include "light/polygon_light.h"

#include <algorithm>
#include <cmath>

#include "base/quadrature.h"
#include "base/units.h"
#include "base/wide_angle.h"

namespace rakelight {

namespace {

/// The part of a polygon with d >= 0, the vertices' distances from a plane.
void clip(Polygon& polygon, const std::array<double, 12>& d) {
  const Polygon whole = polygon;
  polygon.n = 0;
  for (int i = 0; i < whole.n; ++i) {
    const int next = i + 1 < whole.n ? i + 1 : 0;
    const dvec3 a = whole.v[i];
    if (d[i] >= 0) polygon.v[polygon.n++] = a;
    if ((d[i] < 0) != (d[next] < 0)) polygon.v[polygon.n++] = a + (d[i] / (d[i] - d[next])) * (whole.v[next] - a);
  }
}

/// The kernels' polygon_edge, summed, for four edges at a time. Vertices, the first one again after the last, then zeros.
RAKELIGHT_WIDE void sum_edges(const double* x, const double* y, const double* z, int n, double* sum) {
  Four sx{}, sy{}, sz{};
  for (int i = 0; i < n; i += four) {
    Four ax, ay, az, bx, by, bz, angle;
    load(ax, x + i);
    load(ay, y + i);
    load(az, z + i);
    load(bx, x + i + 1);
    load(by, y + i + 1);
    load(bz, z + i + 1);
    const Four cx = ay * bz - az * by, cy = az * bx - ax * bz, cz = ax * by - ay * bx, s2 = cx * cx + cy * cy + cz * cz;
    Four s;
    square_root(s, s2);
    angle_of(angle, s, ax * bx + ay * by + az * bz);
    const Four zero{}, share = s > 1e-30 ? 0.5 * angle / s : zero;
    sx += share * cx;
    sy += share * cy;
    sz += share * cz;
  }
  sum[0] = (sx[0] + sx[1]) + (sx[2] + sx[3]);
  sum[1] = (sy[0] + sy[1]) + (sy[2] + sy[3]);
  sum[2] = (sz[0] + sz[1]) + (sz[2] + sz[3]);
}

}  // namespace

Polygon clipped(const Polygon& polygon, dvec3 normal) {
  Polygon out = polygon;
  std::array<double, 12> d;
  for (int i = 0; i < polygon.n; ++i) d[i] = glm::dot(normal, polygon.v[i]);
  clip(out, d);
  return out;
}

dvec3 polygon_vector(const Polygon& polygon) {
  // of what lies past the vertices nothing is kept, but it is looked at
  std::array<double, 17> x, y, z;
  for (int i = 0; i <= polygon.n; ++i) {
    const dvec3& v = polygon.v[i < polygon.n ? i : 0];
    x[i] = v.x;
    y[i] = v.y;
    z[i] = v.z;
  }
  for (int i = polygon.n + 1; i < polygon.n + 1 + four; ++i) x[i] = y[i] = z[i] = 0;
  std::array<double, 3> sum;
  sum_edges(x.data(), y.data(), z.data(), polygon.n, sum.data());
  return {sum[0], sum[1], sum[2]};
}

Hole hole_from(dvec3 p, const std::array<dvec3, 4>& corners) {
  const dvec3 middle = 0.25 * (corners[0] + corners[1] + corners[2] + corners[3]) - p;
  Hole hole;
  for (int i = 0; i < 4; ++i) {
    const dvec3 plane = glm::cross(corners[i] - p, corners[(i + 1) % 4] - p);
    hole.inward[i] = glm::dot(plane, middle) >= 0 ? plane : -plane;
  }
  return hole;
}

namespace {

/// Clips in place, sparing polygons that a plane only touches; false when nothing is left.
bool keep_inside(Polygon& polygon, dvec3 normal) {
  std::array<double, 12> d;
  int in = 0, out = 0;
  for (int i = 0; i < polygon.n; ++i) {
    d[i] = glm::dot(polygon.v[i], normal);
    in += d[i] > 1e-12;
    out += d[i] < -1e-12;
  }
  if (in == 0) return false;
  if (out > 0) clip(polygon, d);
  return polygon.n >= 3;
}

}  // namespace

dvec3 patch_vector(dvec3 p, const dvec3* horizon, dvec3 corner, dvec3 u, dvec3 v, dvec3 n, const Hole* hole) {
  const dvec3 c = corner - p;
  // on the patch's plane or behind it: nothing, and no rounding taken for light
  if (glm::dot(c, n) >= -1e-12) return dvec3(0);
  Polygon polygon;
  polygon.v[0] = c;
  polygon.v[1] = c + u;
  polygon.v[2] = c + u + v;
  polygon.v[3] = c + v;
  polygon.n = 4;
  std::array<const dvec3*, 5> planes;
  int count = 0;
  if (horizon) planes[count++] = horizon;
  if (hole)
    for (const dvec3& plane : hole->inward) planes[count++] = &plane;
  // a plane with all of it on one side is soon dealt with
  const Four x{c.x, polygon.v[1].x, polygon.v[2].x, polygon.v[3].x}, y{c.y, polygon.v[1].y, polygon.v[2].y, polygon.v[3].y},
      z{c.z, polygon.v[1].z, polygon.v[2].z, polygon.v[3].z};
  int cutting = 0;
  for (int i = 0; i < count; ++i) {
    const Four d = x * planes[i]->x + y * planes[i]->y + z * planes[i]->z;
    const auto in = d > 1e-12, out = d < -1e-12;
    if (!(in[0] | in[1] | in[2] | in[3])) return dvec3(0);
    if (out[0] | out[1] | out[2] | out[3]) planes[cutting++] = planes[i];
  }
  for (int i = 0; i < cutting; ++i)
    if (!keep_inside(polygon, *planes[i])) return dvec3(0);
  const dvec3 sum = polygon_vector(polygon);
  return glm::dot(glm::cross(u, v), c) > 0 ? sum : -sum;
}

dvec3 far_patch_vector(dvec3 p, dvec3 corner, dvec3 u, dvec3 v, dvec3 n, int k) {
  const double area = glm::length(glm::cross(u, v)) / (k * k);
  const double half = k == 1 ? 0 : 0.28867513459481287;  // 1 / (2 sqrt 3)
  const dvec3 c = corner + 0.5 * (u + v) - p;
  dvec3 sum{0};
  for (int j = 0; j < k; ++j)
    for (int i = 0; i < k; ++i) {
      const dvec3 r = c + (i == 0 ? -half : half) * u + (j == 0 ? -half : half) * v;
      const double cosine = -glm::dot(r, n);
      if (cosine <= 0) continue;
      const double d2 = glm::dot(r, r);
      sum += (area * cosine / (d2 * d2)) * r;
    }
  return sum;
}

namespace {

/// Mean over the part of a (corner, u, v) of the factor to b, by k × k Gauss nodes.
double gauss_factor(const Patch& a, const Patch& b, dvec3 corner, dvec3 u, dvec3 v, int k) {
  const auto& nodes = gauss_nodes(k);
  double sum = 0;
  for (const Node& j : nodes)
    for (const Node& i : nodes) {
      const dvec3 p = corner + i.x * u + j.x * v;
      sum += i.weight * j.weight * glm::dot(patch_vector(p, &a.n, b.corner, b.u, b.v, b.n), a.n);
    }
  return sum / pi;
}

double adaptive_factor(const Patch& a, const Patch& b, dvec3 corner, dvec3 u, dvec3 v, double coarse, double tolerance,
                       int depth) {
  const double fine = gauss_factor(a, b, corner, u, v, 6);
  if (std::abs(fine - coarse) <= tolerance || depth == 0) return fine;
  double sum = 0;
  for (int j = 0; j < 2; ++j)
    for (int i = 0; i < 2; ++i) {
      const dvec3 c = corner + 0.5 * i * u + 0.5 * j * v;
      sum += 0.25 * adaptive_factor(a, b, c, 0.5 * u, 0.5 * v, gauss_factor(a, b, c, 0.5 * u, 0.5 * v, 4),
                                    // a quarter's error weighs a quarter, and errors of different quarters cancel in part
                                    2 * tolerance, depth - 1);
    }
  return sum;
}

}  // namespace

double form_factor(const Patch& a, const Patch& b, double tolerance) {
  return adaptive_factor(a, b, a.corner, a.u, a.v, gauss_factor(a, b, a.corner, a.u, a.v, 4), tolerance, 14);
}

}  // namespace rakelight
