// How cells light cells across a corner of the room or within a recess, and cells of a recess the faces near by: where the light
// changes much over one patch.
#include <algorithm>
#include <cmath>
#include <numeric>

#include "base/units.h"
#include "light/basis.h"
#include "light/parallel.h"
#include "light/polygon_light.h"
#include "light/receiver.h"

namespace rakelight {
namespace {

/// Square of the sizes within which cells are neighbours, and the other face's plane lies.
constexpr double far_neighbour = 2.6;

bool across_a_corner(const LightBasis& basis, int a, int b) {
  const Patch &p = basis.patch[a], &q = basis.patch[b];
  if (p.area <= 0 || q.area <= 0 || p.window != q.window || (p.window < 0 && p.surface == q.surface)) return false;
  const dvec3 r = basis.far[b].centre - basis.far[a].centre;
  const double size2 = std::max(basis.far[a].size2, basis.far[b].size2), d2 = glm::dot(r, r), over = glm::dot(r, p.n), under = -glm::dot(r, q.n);
  if (over <= 0 || under <= 0 || d2 > 20 * size2) return false;
  // two rows of the other face: a bright place beside the corner (under a lamp, say) grazes the row that touches it some patches along
  const bool near_corner = over * over < far_neighbour * size2 && under * under < 0.6 * size2;
  return near_corner || d2 <= far_neighbour * size2;
}

Neighbour neighbour_of(const Room& room, const LightBasis& basis, int a, int b) {
  const Patch &p = basis.patch[a], &q = basis.patch[b];
  Neighbour neighbour;
  neighbour.from = b;
  neighbour.e.fill(0);
  const dvec3 u = 0.25 * q.u, v = 0.25 * q.v;
  const double size2 = std::max(glm::dot(u, u), glm::dot(v, v));
  for (int k = 0; k < cells; ++k) {
    if (basis.cell_share[cells * a + k] <= 0) continue;
    const dvec3 at = basis.cell_centre(a, k);
    for (int c = 0; c < cells; ++c) {
      const double area_over_pi = basis.far[b].area_over_pi * basis.cell_share[cells * b + c];
      if (area_over_pi <= 0) continue;
      const dvec3 centre = basis.cell_centre(b, c), r = centre - at;
      if (p.window < 0 && !room.sees(at, centre)) continue;
      const double d2 = glm::dot(r, r);
      const dvec3 corner = centre - 0.5 * (u + v);
      const dvec3 e = d2 < 4 * size2 ? patch_vector(at, &p.n, corner, u, v, q.n) : far_patch_vector(at, corner, u, v, q.n, d2 < 30 * size2 ? 2 : 1);
      neighbour.e[cells * k + c] = static_cast<float>(std::max(0.0, glm::dot(e, p.n)) * area_over_pi / glm::length(glm::cross(u, v)));
    }
  }
  for (int k = 0; k < cells; ++k) {
    double even = 0, mean = 0;
    for (int c = 0; c < cells; ++c) {
      even += neighbour.e[cells * k + c];
      mean += static_cast<double>(basis.cell_share[cells * a + c]) * neighbour.e[cells * c + k];
    }
    neighbour.even[k] = static_cast<float>(even);
    neighbour.mean[k] = static_cast<float>(mean);
  }
  return neighbour;
}

/// Whether patch b, part of a recess, lies so near to patch a of a face that its cells count one by one.
bool recess_near(const Room& room, const LightBasis& basis, int a, int b) {
  const Patch &p = basis.patch[a], &q = basis.patch[b];
  if (p.area <= 0 || q.area <= 0 || q.window < 0) return false;
  const dvec3 r = basis.far[b].centre - basis.far[a].centre;
  const double size2 = std::max(basis.far[a].size2, basis.far[b].size2), d2 = glm::dot(r, r);
  return d2 < 16 * size2 && glm::dot(r, p.n) > 0 && glm::dot(r, q.n) < 0 && room.surfaces[room.windows[q.window].surface].frame.height_of(basis.far[a].centre) > 1e-9;
}

FromRecess from_recess(const Room& room, const LightBasis& basis, int a, int b) {
  constexpr double gauss = 0.28867513459481287;  // 1 / (2 sqrt 3)
  const Patch &p = basis.patch[a], &q = basis.patch[b];
  FromRecess sent;
  sent.from = b;
  sent.mean.fill(0);
  for (int c = 0; c < cells; ++c) {
    const dvec3 at = basis.cell_centre(b, c);
    double e = 0;
    for (int k = 0; k < 4; ++k) {
      const dvec3 from = basis.far[a].centre + (k % 2 == 0 ? -gauss : gauss) * p.u + (k < 2 ? -gauss : gauss) * p.v, r = at - from;
      const double along = glm::dot(r, p.n), cosine = -glm::dot(r, q.n), d2 = glm::dot(r, r);
      if (along > 0 && cosine > 0 && open_between(room, from, -1, at, q.window)) e += 0.25 * along * cosine / (d2 * d2);
    }
    sent.mean[c] = static_cast<float>(e * basis.far[b].area_over_pi * basis.cell_share[cells * b + c]);
  }
  return sent;
}

/// Whether patch a is of the first row beside the plane of a surface.
bool touches(const Room& room, const LightBasis& basis, int a, int surface) {
  const double off = room.surfaces[surface].frame.height_of(basis.far[a].centre);
  return basis.patch[a].surface != surface && off > 0 && off * off < 0.6 * basis.far[a].size2;
}

Across across_from(const Room& room, const LightBasis& basis, int a, int surface) {
  const Patch& p = basis.patch[a];
  const PatchGrid& grid = basis.grid[surface];
  Across across{grid.first, grid.nx * grid.ny, {}, {}};
  across.e.assign(static_cast<std::size_t>(cells * across.count), 0.0f);
  std::vector<char> nearer(static_cast<std::size_t>(across.count), 0);
  for (const Neighbour& near : basis.neighbours[a])
    if (near.from >= across.first && near.from < across.first + across.count) nearer[static_cast<std::size_t>(near.from - across.first)] = 1;
  for (int b = 0; b < across.count; ++b) {
    const FarPatch& far = basis.far[across.first + b];
    const Patch& q = basis.patch[across.first + b];
    if (nearer[static_cast<std::size_t>(b)] || far.area_over_pi <= 0) continue;
    for (int k = 0; k < cells; ++k) {
      if (basis.cell_share[cells * a + k] <= 0) continue;
      const dvec3 at = basis.cell_centre(a, k), r = far.centre - at;
      if (glm::dot(r, p.n) <= 0 || (!room.convex && !room.sees(at, far.centre))) continue;
      const dvec3 e = far_patch_vector(at, q.corner, q.u, q.v, q.n, glm::dot(r, r) < 12 * far.size2 ? 2 : 1);
      across.e[static_cast<std::size_t>(across.count * k + b)] = static_cast<float>(std::max(0.0, glm::dot(e, p.n)) * far.area_over_pi / glm::length(glm::cross(q.u, q.v)));
    }
  }
  for (int k = 0; k < cells; ++k) {
    const float* e = across.e.data() + static_cast<std::size_t>(across.count * k);
    across.even[k] = std::accumulate(e, e + across.count, 0.0);
  }
  return across;
}

}  // namespace

void make_neighbours(const Room& room, LightBasis& basis) {
  basis.neighbours.resize(basis.patch.size());
  basis.corner_faces.resize(basis.patch.size());
  basis.recesses.resize(basis.patch.size());
  basis.lit_by_cells.resize(basis.patch.size());
  std::vector<double> most_size2;
  for (const PatchGrid& grid : basis.grid) {
    most_size2.push_back(0);
    for (int b = grid.first; b < grid.first + grid.nx * grid.ny; ++b) most_size2.back() = std::max(most_size2.back(), basis.far[b].size2);
  }
  for_each_index(basis.count(), [&](int a) {
    const Patch& patch = basis.patch[a];
    if (patch.area <= 0) return;
    const auto look_at = [&](int first, int last) {
      for (int b = first; b < last; ++b)
        if (across_a_corner(basis, a, b)) basis.neighbours[a].push_back(neighbour_of(room, basis, a, b));
    };
    if (patch.window >= 0) return look_at(basis.parts[patch.window].left, basis.parts[patch.window].end);
    for (int surface = 0; surface < static_cast<int>(room.surfaces.size()); ++surface) {
      const PatchGrid& grid = basis.grid[surface];
      const double off = room.surfaces[surface].frame.height_of(basis.far[a].centre), most = std::max(basis.far[a].size2, most_size2[static_cast<std::size_t>(surface)]);
      if (surface != patch.surface && off > 0 && off * off < far_neighbour * most) look_at(grid.first, grid.first + grid.nx * grid.ny);
      if (touches(room, basis, a, surface)) basis.corner_faces[a].push_back(across_from(room, basis, a, surface));
    }
    for (const WindowParts& parts : basis.parts)
      for (int b = parts.left; b < parts.end; ++b)
        if (recess_near(room, basis, a, b)) basis.recesses[a].push_back(from_recess(room, basis, a, b));
  });
  for (int a = 0; a < basis.count(); ++a) {
    for (const Neighbour& near : basis.neighbours[a]) basis.lit_by_cells[near.from].push_back(a);
    for (const FromRecess& near : basis.recesses[a]) basis.lit_by_cells[near.from].push_back(a);
  }
}

}  // namespace rakelight
