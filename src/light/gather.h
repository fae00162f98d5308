// Gathers bounced light at a point of the room's faces from patches and their cells.
//
// A patch of a face seen from afar sends its mean exitance; nearer than 2.5 times its size its 4 × 4 cells send their own,
// and within 2.5 times a cell's size cells are quartered, down to a few millimetres, with exitance taken linearly between
// cell centres. So light is followed into corners, and edges of sun patches count where they lie.
#pragma once
#include <algorithm>
#include <cmath>

#include "base/units.h"
#include "base/wide.h"
#include "light/basis.h"
#include "light/polygon_light.h"
#include "light/shadow.h"

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
struct Gift { dvec3 e{0}; double change = 0; };

/// Gifts side by side, number by number.
struct GiftParts { const double *x, *y, *z, *change; };
/// Adds what `count` areas with those gifts at exitance 1 send, each at its exitance less `less`.
void add_gifts(const double* exitance, double less, std::size_t count, const GiftParts& parts, Gift& sum);

/// Adds what a small area (its middle at r from the receiver, area over pi) sends at exitance 1.
inline void add_point(Gift& g, dvec3 r, dvec3 front, dvec3 n, double area_over_pi) {
  const double cosine = -glm::dot(r, front), along = glm::dot(r, n);  // times distance
  if (cosine <= 0 || along <= 0) return;
  const double d2 = glm::dot(r, r), k = area_over_pi / (d2 * d2);
  g.e += (k * cosine) * r;
  g.change += k * (along * (glm::dot(front, n) + 4 * cosine * along / d2) - cosine);
}

/// What four far patches of one face send, side by side: light vectors and changes as in Gift, squares of their distances (-1: the
/// receiver does not stand before them). Those at up to ten times their size are taken at four points.
struct FourGifts { std::array<double, four> x, y, z, change, d2; };

/// What a patch's cells send, side by side.
struct CellGifts { std::array<double, cells> x, y, z, change; };

/// The receiving point of a gathering: on a face of the room, not in a recess.
class Gathering {
 public:
  Gathering(const Room& room, const LightBasis& basis, dvec3 p, dvec3 n, int surface);

  /// Calls patch(j, Gift) with what patch j sends at exitance 1 where its mean decides, cell(c, Gift) where the cells do
  /// (c = 16 j + k, a cell at times more than once).
  template <class Patch, class Cell>
  void everything(Patch&& patch, Cell&& cell) const;
  /// Calls visit(k, Gift) with what each of them sends at exitance 1; not at all where the patch is near or hidden.
  template <class Visit>
  void each_cell(int j, Visit&& visit) const;
  /// The same of all of them, nothing of those out of sight; false where the patch is near or hidden.
  bool every_cell(int j, CellGifts& gifts) const;

 private:
  enum class How { hidden, whole, parted };
  static constexpr double gauss = 0.28867513459481287;  // 1 / (2 sqrt 3)

  How how(int j, const Shadows::Edge** edge) const;
  /// Of patches j and the three after it, of a face, were they whole.
  void four_far(std::size_t face, int j, FourGifts& gifts) const;
  template <class Patch, class Cell>
  void one(int j, Patch&& patch, Cell&& cell) const;
  bool in_view(int window, dvec3 q) const;
  /// Exactly, behind a shadow's edge or through a window's opening or neither.
  Gift polygon(dvec3 corner, dvec3 u, dvec3 v, dvec3 front, double area_over_pi, const Shadows::Edge* edge, int window) const;
  Gift four_points(dvec3 centre, dvec3 u, dvec3 v, dvec3 front, double area_over_pi) const;
  Gift far_mean(int j) const;
  template <class Cell>
  void near_cells(int j, Cell&& cell) const;
  template <class Cell>
  void quarter(int j, int k, dvec3 corner, dvec3 u, dvec3 v, double area_over_pi, int depth, Cell&& cell) const;

  /// A window's opening as the point sees it, and as it would a little above and below its face.
  struct Opening {
    double height = 0;  ///< of the point over the wall
    Hole there, raised, sunk;
  };

  const Room& room_;
  const LightBasis& basis_;
  dvec3 p_, n_, raised_, sunk_;
  int surface_;
  Shadows shadows_;
  std::vector<Opening> openings_;        ///< of each window
};

/// What the cells of uneven patches send beyond their means.
Gift uneven_light(const Lighting& lighting, const Gathering& gathering);
/// The same of several lightings by one basis.
std::vector<Gift> uneven_light(const std::vector<const Lighting*>& lightings, const Gathering& gathering);

template <class ToPatch, class ToCell>
void Gathering::one(int j, ToPatch&& patch, ToCell&& cell) const {
  const Shadows::Edge* edge = nullptr;
  switch (how(j, &edge)) {
    case How::hidden: break;
    case How::whole: patch(j, far_mean(j)); break;
    case How::parted: near_cells(j, cell); break;
  }
}

template <class ToPatch, class ToCell>
void Gathering::everything(ToPatch&& patch, ToCell&& cell) const {
  int j = 0;
  for (std::size_t face = 0; face < basis_.grid.size(); ++face) {
    const PatchGrid& grid = basis_.grid[face];
    j = grid.first + grid.nx * grid.ny;
    if (static_cast<int>(face) == surface_) continue;
    FourGifts gifts;
    for (int first = grid.first; first < j; first += four) {
      if (room_.convex) four_far(face, first, gifts);
      for (int i = 0; i < std::min(four, j - first); ++i) {
        const int at = first + i;
        const std::size_t k = static_cast<std::size_t>(i);
        if (!basis_.whole[static_cast<std::size_t>(at)] || !room_.convex) {
          one(at, patch, cell);
        } else if (gifts.d2[k] >= 0) {
          if (gifts.d2[k] < 6.25 * basis_.far_patches.size2[static_cast<std::size_t>(at)]) near_cells(at, cell);
          else patch(at, Gift{{gifts.x[k], gifts.y[k], gifts.z[k]}, gifts.change[k]});
        }
      }
    }
  }
  for (; j < basis_.count(); ++j) one(j, patch, cell);
}

template <class Visit>
void Gathering::each_cell(int j, Visit&& visit) const {
  CellGifts gifts;
  if (!every_cell(j, gifts)) return;
  for (std::size_t k = 0; k < cells; ++k) visit(static_cast<int>(k), Gift{{gifts.x[k], gifts.y[k], gifts.z[k]}, gifts.change[k]});
}

template <class ToCell>
void Gathering::near_cells(int j, ToCell&& cell) const {
  const Patch& patch = basis_.patch[j];
  const dvec3 u = 0.25 * patch.u, v = 0.25 * patch.v;
  for (int k = 0; k < cells; ++k) {
    const double area = basis_.far[j].area_over_pi * basis_.cell_share[cells * j + k];
    if (area <= 0) continue;
    const dvec3 corner = patch.corner + static_cast<double>(k % 4) * u + static_cast<double>(k / 4) * v;
    if (patch.window >= 0) {
      cell(cells * j + k, polygon(corner, u, v, patch.n, area, nullptr, patch.window));
      continue;
    }
    const Shadows::Edge* edge = nullptr;
    const Shadows::Seen seen = shadows_.of(corner, u, v, &edge);
    if (seen == Shadows::Seen::none) continue;
    if (seen == Shadows::Seen::part) cell(cells * j + k, polygon(corner, u, v, patch.n, area, edge, -1));
    else quarter(j, k, corner, u, v, area, 0, cell);
  }
}

template <class ToCell>
void Gathering::quarter(int j, int k, dvec3 corner, dvec3 u, dvec3 v, double area_over_pi, int depth, ToCell&& cell) const {
  const Patch& patch = basis_.patch[j];
  const dvec3 centre = corner + 0.5 * (u + v), r = centre - p_;
  const double d2 = glm::dot(r, r), size2 = std::max(glm::dot(u, u), glm::dot(v, v));
  if (d2 < 6.25 * size2 && depth < 4) {
    for (int q = 0; q < 4; ++q)
      quarter(j, k, corner + 0.5 * (q % 2) * u + 0.5 * (q / 2) * v, 0.5 * u, 0.5 * v, 0.25 * area_over_pi, depth + 1, cell);
    return;
  }
  const Gift gift = d2 < 6.25 * size2 ? polygon(corner, u, v, patch.n, area_over_pi, nullptr, -1)
                                      : four_points(centre, u, v, patch.n, area_over_pi);
  if (depth == 0) return cell(cells * j + k, gift);
  // exitance where this quarter lies, from the cells about it; offsets in cells from the centre of cell k
  const dvec3 off = centre - basis_.cell_centre(j, k);
  const double s = 4 * glm::dot(off, patch.u) / glm::dot(patch.u, patch.u), t = 4 * glm::dot(off, patch.v) / glm::dot(patch.v, patch.v);
  basis_.between_cells(j, k, s, t, [&](int c, double w) { cell(c, Gift{w * gift.e, w * gift.change}); });
}

}  // namespace rakelight
