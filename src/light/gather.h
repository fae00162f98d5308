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

/// The light vector at `receiver`, lx in world axes, per unit exitance (lm/m²) of each patch: visit(patch, vector), a patch
/// at times more than once. Which patches are near, and which are hidden, is decided from `decide`, so that differences
/// between points a few millimetres apart are smooth. `own_surface`: the receiver's surface, -1 for window parts.
///
/// Far patches count as one or four points (error below 0.1 % of a patch). Patches nearer than 1.5 times their size are
/// parted 4 × 4 with exitance taken linearly between patch centres, because constant patches leave steps beside a corner.
template <class Visit>
void gather(const Room& room, const LightBasis& basis, const Receiver& receiver, dvec3 decide, int own_surface, Visit&& visit) {
  std::vector<Hole> holes;
  for (int w = 0; w < static_cast<int>(room.windows.size()); ++w) holes.push_back(hole_from(receiver.p, opening_corners(room, w)));
  for (int j = 0; j < basis.count(); ++j) {
    const Patch& patch = basis.patch[j];
    if (patch.area <= 0 || (own_surface >= 0 && patch.surface == own_surface)) continue;
    const dvec3 r = patch.centre() - decide;
    const double d2 = glm::dot(r, r), size2 = std::max(glm::dot(patch.u, patch.u), glm::dot(patch.v, patch.v));
    const double share = basis.coverage[j] / pi;
    if (patch.window >= 0) {
      if (patch.window == receiver.window) {
        visit(j, share * patch_vector(receiver.p, &receiver.n, patch.corner, patch.u, patch.v, patch.n));
        continue;
      }
      const Frame& f = room.surfaces[room.windows[patch.window].surface].frame;
      if (f.height_of(decide) <= 1e-9 || glm::dot(r, patch.n) >= 0) continue;
      if ((!room.convex || receiver.window >= 0) && !open_between(room, decide, receiver.window, patch.centre(), patch.window)) continue;
      visit(j, share * patch_vector(receiver.p, &receiver.n, patch.corner, patch.u, patch.v, patch.n, &holes[patch.window]));
      continue;
    }
    if (glm::dot(r, patch.n) >= 0) continue;
    if ((!room.convex || receiver.window >= 0) && !open_between(room, decide, receiver.window, patch.centre(), -1)) continue;
    if (room.convex && receiver.window < 0 && d2 > 6.25 * size2) {
      visit(j, share * far_patch_vector(receiver.p, patch.corner, patch.u, patch.v, patch.n, d2 > 100 * size2 ? 1 : 2));
      continue;
    }
    if (d2 > 2.25 * size2) {
      visit(j, share * patch_vector(receiver.p, &receiver.n, patch.corner, patch.u, patch.v, patch.n));
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
        const dvec3 e = share * patch_vector(receiver.p, &receiver.n, patch.corner + static_cast<double>(a) * u + static_cast<double>(b) * v, u, v, patch.n);
        const double s = (a - 1.5) / 4, t = (b - 1.5) / 4;  // of a patch, from its centre
        const int i = column + (s < 0 ? -1 : 1), k = row + (t < 0 ? -1 : 1);
        const double x = std::abs(s), y = std::abs(t);
        visit(j, (1 - x) * (1 - y) * e);
        visit(other(i, row), x * (1 - y) * e);
        visit(other(column, k), (1 - x) * y * e);
        visit(other(i, k), x * y * e);
      }
  }
}

}  // namespace rakelight
