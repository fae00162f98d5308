#include "light/gather.h"

#include <limits>

namespace rakelight {
namespace {

/// add_point for four areas.
struct FourPoints {
  Four x{}, y{}, z{}, change{};
  RAKELIGHT_ALWAYS_INLINE void add(const Four& rx, const Four& ry, const Four& rz, const Four& area, dvec3 front, dvec3 n, double facing) {
    const Four zero{};
    const Four cosine = -(rx * front.x + ry * front.y + rz * front.z), along = rx * n.x + ry * n.y + rz * n.z;
    const Four d2 = rx * rx + ry * ry + rz * rz;
    const auto there = (cosine > zero) & (along > zero);
    const Four k = there ? area / (d2 * d2) : zero;
    const Four kc = k * cosine;
    x += kc * rx;
    y += kc * ry;
    z += kc * rz;
    change += k * (along * (facing + 4.0 * cosine * along / d2) - cosine);
  }
};

RAKELIGHT_WIDE void gifts_of_patches(const FarTable& far, std::size_t first, dvec3 p, dvec3 front, dvec3 n, dvec3 a, dvec3 b, FourGifts& gifts) {
  Four x, y, z, area, size2;
  load(x, far.x.data() + first);
  load(y, far.y.data() + first);
  load(z, far.z.data() + first);
  load(area, far.area.data() + first);
  load(size2, far.size2.data() + first);
  x -= p.x;
  y -= p.y;
  z -= p.z;
  const double facing = glm::dot(front, n);
  const Four d2 = x * x + y * y + z * z, cosine = -(x * front.x + y * front.y + z * front.z);
  FourPoints one, parts;
  one.add(x, y, z, area, front, n, facing);
  const auto close = d2 <= 100.0 * size2;
  if (close[0] | close[1] | close[2] | close[3]) {
    const Four quarter = 0.25 * area;
    for (const dvec3& o : {-a - b, a - b, b - a, a + b}) parts.add(x + o.x, y + o.y, z + o.z, quarter, front, n, facing);
    one.x = close ? parts.x : one.x;
    one.y = close ? parts.y : one.y;
    one.z = close ? parts.z : one.z;
    one.change = close ? parts.change : one.change;
  }
  store(gifts.x.data(), one.x);
  store(gifts.y.data(), one.y);
  store(gifts.z.data(), one.z);
  store(gifts.change.data(), one.change);
  const Four zero{}, minus = zero - 1.0;
  store(gifts.d2.data(), (cosine > zero) & (area > zero) ? d2 : minus);
}

RAKELIGHT_WIDE void gifts_of_cells(const FarTable& far, std::size_t first, dvec3 p, dvec3 front, dvec3 n, CellGifts& gifts) {
  const double facing = glm::dot(front, n);
  for (std::size_t k = 0; k < cells; k += four) {
    Four x, y, z, area;
    load(x, far.x.data() + first + k);
    load(y, far.y.data() + first + k);
    load(z, far.z.data() + first + k);
    load(area, far.area.data() + first + k);
    FourPoints one;
    one.add(x - p.x, y - p.y, z - p.z, area, front, n, facing);
    store(gifts.x.data() + k, one.x);
    store(gifts.y.data() + k, one.y);
    store(gifts.z.data() + k, one.z);
    store(gifts.change.data() + k, one.change);
  }
}

RAKELIGHT_WIDE void sum_gifts(const double* exitance, double less, std::size_t fours, const GiftParts& parts, Four* sum) {
  Four x{}, y{}, z{}, change{}, more, part;
  for (std::size_t k = 0; k < fours * four; k += four) {
    load(more, exitance + k);
    more -= less;
    load(part, parts.x + k);
    x += more * part;
    load(part, parts.y + k);
    y += more * part;
    load(part, parts.z + k);
    z += more * part;
    load(part, parts.change + k);
    change += more * part;
  }
  sum[0] = x;
  sum[1] = y;
  sum[2] = z;
  sum[3] = change;
}

}  // namespace

void add_gifts(const double* exitance, double less, std::size_t count, const GiftParts& parts, Gift& sum) {
  Four fours[4];
  std::size_t k = count / four;
  sum_gifts(exitance, less, k, parts, fours);
  for (k *= four; k < count; ++k) {
    sum.e += (exitance[k] - less) * dvec3(parts.x[k], parts.y[k], parts.z[k]);
    sum.change += (exitance[k] - less) * parts.change[k];
  }
  sum.e += dvec3(sum_of(fours[0]), sum_of(fours[1]), sum_of(fours[2]));
  sum.change += sum_of(fours[3]);
}

void Gathering::four_far(std::size_t face, int j, FourGifts& gifts) const {
  const PatchGrid& grid = basis_.grid[face];
  const Frame& frame = room_.surfaces[face].frame;
  const dvec3 a = gauss * (grid.box.width() / grid.nx) * frame.x, b = gauss * (grid.box.height() / grid.ny) * frame.y;
  gifts_of_patches(basis_.far_patches, static_cast<std::size_t>(j), p_, frame.n, n_, a, b, gifts);
}

bool Gathering::every_cell(int j, CellGifts& gifts) const {
  const Shadows::Edge* edge = nullptr;
  if (how(j, &edge) != How::whole) return false;
  gifts_of_cells(basis_.far_cells, cells * static_cast<std::size_t>(j), p_, basis_.patch[j].n, n_, gifts);
  const int window = basis_.patch[j].window;
  for (std::size_t k = 0; window >= 0 && k < cells; ++k)
    if (!in_view(window, basis_.cell_centre(j, static_cast<int>(k)))) gifts.x[k] = gifts.y[k] = gifts.z[k] = gifts.change[k] = 0;
  return true;
}

Gathering::Gathering(const Room& room, const LightBasis& basis, dvec3 p, dvec3 n, int surface)
    : room_(room), basis_(basis), p_(p), n_(n), raised_(p + lift * n), sunk_(p - lift * n), surface_(surface), shadows_(room, p) {
  for (std::size_t w = 0; w < room.windows.size(); ++w) {
    const std::array<dvec3, 4> corners = opening_corners(room, static_cast<int>(w));
    openings_.push_back({room.surfaces[room.windows[w].surface].frame.height_of(p), hole_from(p_, corners), hole_from(raised_, corners), hole_from(sunk_, corners)});
  }
}

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
  const double h0 = openings_[static_cast<std::size_t>(window)].height, h1 = f.height_of(q);
  return h0 > 0 && w.opening.contains(f.surface_from_world(p_ + h0 / (h0 - h1) * (q - p_)));
}

Gift Gathering::polygon(dvec3 corner, dvec3 u, dvec3 v, dvec3 front, double area_over_pi, const Shadows::Edge* edge, int window) const {
  const Opening* const opening = window >= 0 ? &openings_[static_cast<std::size_t>(window)] : nullptr;
  const auto from = [&](dvec3 p, Hole Opening::*hole) {
    const dvec3 lit = edge ? lit_side(*edge, p) : n_;
    return patch_vector(p, &lit, corner, u, v, front, opening ? &(opening->*hole) : nullptr);
  };
  // where an opening or the outline takes a part, the rest sends as if spread over the whole
  const double share = area_over_pi / glm::length(glm::cross(u, v));
  Gift g;
  g.e = share * from(p_, &Opening::there);
  g.change = share * glm::dot(n_, from(raised_, &Opening::raised) - from(sunk_, &Opening::sunk)) / (2 * lift);
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

Gift uneven_light(const Lighting& lighting, const Gathering& gathering) { return uneven_light({&lighting}, gathering).front(); }

std::vector<Gift> uneven_light(const std::vector<const Lighting*>& lightings, const Gathering& gathering) {
  std::vector<Gift> sums(lightings.size());
  std::vector<std::size_t> with, next(lightings.size(), 0);  // of each one's ascending list
  for (;;) {
    int j = std::numeric_limits<int>::max();
    for (std::size_t m = 0; m < lightings.size(); ++m)
      if (next[m] < lightings[m]->uneven.size()) j = std::min(j, lightings[m]->uneven[next[m]]);
    if (j == std::numeric_limits<int>::max()) return sums;
    with.clear();
    for (std::size_t m = 0; m < lightings.size(); ++m)
      if (next[m] < lightings[m]->uneven.size() && lightings[m]->uneven[next[m]] == j) {
        with.push_back(m);
        ++next[m];
      }
    CellGifts gifts;
    if (!gathering.every_cell(j, gifts)) continue;
    for (const std::size_t m : with) add_gifts(lightings[m]->cell_exitance.data() + cells * j, lightings[m]->patch_exitance[j], cells, {gifts.x.data(), gifts.y.data(), gifts.z.data(), gifts.change.data()}, sums[m]);
  }
}

}  // namespace rakelight
