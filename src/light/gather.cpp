#include "light/gather.h"

namespace rakelight {

Gathering::Gathering(const Room& room, const LightBasis& basis, dvec3 p, dvec3 n, int surface)
    : room_(room), basis_(basis), p_(p), n_(n), raised_(p + lift * n), sunk_(p - lift * n), surface_(surface), shadows_(room, p) {}

Gathering::How Gathering::how(int j, const Shadows::Edge** edge) const {
  const FarPatch& far = basis_.far[j];
  const Patch& patch = basis_.patch[j];
  if (far.area_over_pi <= 0 || (surface_ >= 0 && patch.surface == surface_)) return How::hidden;
  const dvec3 r = far.centre - p_;
  if (glm::dot(r, far.n) >= 0) return How::hidden;
  if (patch.window >= 0) {
    const Frame& wall = room_.surfaces[room_.windows[patch.window].surface].frame;
    if (wall.height_of(p_) <= 2 * lift || !shadows_.sees(far.centre + (1e-6 - wall.height_of(far.centre)) * wall.n)) return How::hidden;
  } else {
    const Shadows::Seen seen = shadows_.of(patch.corner, patch.u, patch.v, edge);
    if (seen == Shadows::Seen::none) return How::hidden;
    if (seen == Shadows::Seen::part) return How::parted;
  }
  return glm::dot(r, r) < 6.25 * far.size2 ? How::parted : How::whole;
}

bool Gathering::in_view(int window, dvec3 q) const {
  const Window& w = room_.windows[window];
  const Frame& f = room_.surfaces[w.surface].frame;
  const double h0 = f.height_of(p_), h1 = f.height_of(q);
  return h0 > 0 && w.opening.contains(f.surface_from_world(p_ + h0 / (h0 - h1) * (q - p_)));
}

Gift Gathering::polygon(dvec3 corner, dvec3 u, dvec3 v, dvec3 front, double area_over_pi, const Shadows::Edge* edge, int window) const {
  std::array<dvec3, 4> opening;
  if (window >= 0) opening = opening_corners(room_, window);
  const auto from = [&](dvec3 p) {
    const dvec3 lit = edge ? lit_side(*edge, p) : n_;
    if (window < 0) return patch_vector(p, &lit, corner, u, v, front);
    const Hole hole = hole_from(p, opening);
    return patch_vector(p, &n_, corner, u, v, front, &hole);
  };
  // where an opening or the outline takes a part, the rest sends as if spread over the whole
  const double share = area_over_pi / glm::length(glm::cross(u, v));
  Gift g;
  g.e = share * from(p_);
  g.change = share * glm::dot(n_, from(raised_) - from(sunk_)) / (2 * lift);
  return g;
}

Gift Gathering::four_points(dvec3 centre, dvec3 u, dvec3 v, dvec3 front, double area_over_pi) const {
  Gift g;
  const dvec3 r = centre - p_, a = gauss * u, b = gauss * v;
  for (const dvec3& offset : {-a - b, a - b, b - a, a + b}) add_point(g, r + offset, front, n_, 0.25 * area_over_pi);
  return g;
}

Gift Gathering::far_mean(int j) const {
  const FarPatch& far = basis_.far[j];
  const Patch& patch = basis_.patch[j];
  if (patch.window >= 0) {
    int corners = 0;
    for (int k = 0; k < 4; ++k)
      corners += in_view(patch.window, patch.corner + static_cast<double>(k % 2) * patch.u + static_cast<double>(k / 2) * patch.v);
    if (corners < 4) return polygon(patch.corner, patch.u, patch.v, patch.n, far.area_over_pi, nullptr, patch.window);
    return four_points(far.centre, patch.u, patch.v, patch.n, far.area_over_pi);
  }
  const dvec3 r = far.centre - p_;
  if (glm::dot(r, r) <= 100 * far.size2) return four_points(far.centre, patch.u, patch.v, patch.n, far.area_over_pi);
  Gift g;
  add_point(g, r, far.n, n_, far.area_over_pi);
  return g;
}

Gift uneven_light(const Lighting& lighting, const Gathering& gathering) {
  Gift sum;
  for (const int j : lighting.uneven)
    gathering.beyond_mean(j, [&](int k) { return lighting.cell_exitance[cells * j + k] - lighting.patch_exitance[j]; }, sum);
  return sum;
}

}  // namespace rakelight
