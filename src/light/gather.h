// Gathers bounced light at a point from the patches.
#pragma once
#include <algorithm>
#include <cmath>

#include "base/units.h"
#include "light/basis.h"
#include "light/polygon_light.h"

namespace rakelight {

/// Corners of a window's opening, world axes.
inline std::array<dvec3, 4> opening_corners(const Room& room, int window) {
  const Window& w = room.windows[window];
  const Frame& f = room.surfaces[w.surface].frame;
  return {f.world_from_surface(w.opening.lo), f.world_from_surface({w.opening.hi.x, w.opening.lo.y}),
          f.world_from_surface(w.opening.hi), f.world_from_surface({w.opening.lo.x, w.opening.hi.y})};
}

/// How far a point is lifted and sunk to see how light changes off its face, m.
inline constexpr double lift = 2e-3;

/// What one patch sends: the light vector, lx in world axes, and the change of its part along the face's normal per
/// metre off the face. In empty space light vectors have no divergence (Gershun 1936), so that change is minus the
/// divergence along the face.
struct Gift { dvec3 e; double change = 0; };

/// What each patch sends to `receiver` per unit exitance (lm/m²): visit(patch, Gift), a patch at times more than once.
/// own_surface: the receiver's surface, -1 for window parts. Hidden patches are told by their middles.
///
/// Far patches count as one or four points (error below 0.1 % of a patch). Patches nearer than 1.5 times their size are
/// parted 4 × 4 with exitance taken linearly between patch centres, because constant patches leave steps beside a corner.
template <class Visit>
void gather(const Room& room, const LightBasis& basis, const Receiver& receiver, int own_surface, Visit&& visit) {
  const dvec3 n = receiver.n, raised = receiver.p + lift * n, sunk = receiver.p - lift * n;
  struct Holes { Hole at, raised, sunk; };
  std::vector<Holes> holes;
  for (int w = 0; w < static_cast<int>(room.windows.size()); ++w) {
    const auto corners = opening_corners(room, w);
    holes.push_back({hole_from(receiver.p, corners), hole_from(raised, corners), hole_from(sunk, corners)});
  }
  const auto near_gift = [&](double share, dvec3 corner, dvec3 u, dvec3 v, dvec3 front, const Holes* hole) {
    Gift g;
    g.e = share * patch_vector(receiver.p, &n, corner, u, v, front, hole ? &hole->at : nullptr);
    const double up = glm::dot(n, patch_vector(raised, &n, corner, u, v, front, hole ? &hole->raised : nullptr));
    const double down = glm::dot(n, patch_vector(sunk, &n, corner, u, v, front, hole ? &hole->sunk : nullptr));
    g.change = share * (up - down) / (2 * lift);
    return g;
  };
  const auto add_point = [&](Gift& g, dvec3 r, dvec3 front, double area) {
    const double cosine = -glm::dot(r, front);  // times distance
    if (cosine <= 0) return;
    const double d2 = glm::dot(r, r), k = area / (d2 * d2), along = glm::dot(r, n);
    g.e += (k * cosine) * r;
    g.change += k * (along * (glm::dot(front, n) + 4 * cosine * along / d2) - cosine);
  };
  const bool may_be_hidden = !room.convex || receiver.window >= 0;
  for (int j = 0; j < basis.count(); ++j) {
    const FarPatch& far = basis.far[j];
    const Patch& patch = basis.patch[j];
    if (far.area_over_pi <= 0 || (own_surface >= 0 && patch.surface == own_surface)) continue;
    const dvec3 r = far.centre - receiver.p;
    const double d2 = glm::dot(r, r);
    if (glm::dot(r, far.n) >= 0) continue;
    const double share = basis.coverage[j] / pi;
    if (patch.window >= 0 && patch.window == receiver.window) {
      visit(j, near_gift(share, patch.corner, patch.u, patch.v, patch.n, nullptr));
      continue;
    }
    if (patch.window >= 0 && room.surfaces[room.windows[patch.window].surface].frame.height_of(receiver.p) <= 2 * lift) continue;
    if (may_be_hidden && !open_between(room, receiver.p, receiver.window, far.centre, patch.window)) continue;
    if (patch.window >= 0) {
      visit(j, near_gift(share, patch.corner, patch.u, patch.v, patch.n, &holes[patch.window]));
      continue;
    }
    if (!may_be_hidden && d2 > 6.25 * far.size2) {
      Gift g{dvec3(0)};
      if (d2 > 100 * far.size2) {
        add_point(g, r, far.n, far.area_over_pi);
      } else {
        constexpr double gauss = 0.28867513459481287;  // 1 / (2 sqrt 3)
        const dvec3 u = gauss * patch.u, v = gauss * patch.v;
        for (const dvec3& offset : {-u - v, u - v, v - u, u + v}) add_point(g, r + offset, far.n, 0.25 * far.area_over_pi);
      }
      visit(j, g);
      continue;
    }
    if (d2 > 2.25 * far.size2) {
      visit(j, near_gift(share, patch.corner, patch.u, patch.v, patch.n, nullptr));
      continue;
    }
    const PatchGrid& grid = basis.grid[patch.surface];
    const int column = (j - grid.first) % grid.nx, row = (j - grid.first) / grid.nx;
    const auto other = [&](int i, int k) {
      const int index = grid.first + std::clamp(k, 0, grid.ny - 1) * grid.nx + std::clamp(i, 0, grid.nx - 1);
      return basis.patch[index].area > 0 ? index : j;
    };
    const dvec3 u = 0.25 * patch.u, v = 0.25 * patch.v;
    for (int b = 0; b < 4; ++b)
      for (int a = 0; a < 4; ++a) {
        const Gift g = near_gift(share, patch.corner + static_cast<double>(a) * u + static_cast<double>(b) * v, u, v, patch.n, nullptr);
        const auto give = [&](int to, double weight) { visit(to, Gift{weight * g.e, weight * g.change}); };
        const double s = (a - 1.5) / 4, t = (b - 1.5) / 4;  // of a patch, from its centre
        const int i = column + (s < 0 ? -1 : 1), k = row + (t < 0 ? -1 : 1);
        const double x = std::abs(s), y = std::abs(t);
        give(j, (1 - x) * (1 - y));
        give(other(i, row), x * (1 - y));
        give(other(column, k), (1 - x) * y);
        give(other(i, k), x * y);
      }
  }
}

}  // namespace rakelight
