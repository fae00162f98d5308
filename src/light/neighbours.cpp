// How cells light cells across a corner of the room or within a recess, and cells of a recess the faces near by: where the light
// changes much over one patch.
#include <algorithm>
#include <cmath>
#include <memory>
#include <numeric>
#include <optional>

#include "base/units.h"
#include "light/alike.h"
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

/// A patch that sends or receives, its cells' shares of its area, and its area over pi.
struct Side { const Patch& patch; const float* share; double area_over_pi; };

/// `seen(from, to)`: whether nothing stands between two cells' middles.
template <class Seen>
CellsAcross cells_across(const Side& to, const Side& from, Seen&& seen) {
  const Patch &p = to.patch, &q = from.patch;
  CellsAcross sent;
  sent.e.fill(0);
  const dvec3 u = 0.25 * q.u, v = 0.25 * q.v;
  const double size2 = std::max(glm::dot(u, u), glm::dot(v, v)), area = glm::length(glm::cross(u, v));
  const auto cell_centre = [](const Patch& patch, int k) { return patch.corner + 0.25 * (k % 4 + 0.5) * patch.u + 0.25 * (k / 4 + 0.5) * patch.v; };
  for (int k = 0; k < cells; ++k) {
    if (to.share[k] <= 0) continue;
    const dvec3 at = cell_centre(p, k);
    for (int c = 0; c < cells; ++c) {
      const double area_over_pi = from.area_over_pi * from.share[c];
      if (area_over_pi <= 0) continue;
      const dvec3 centre = cell_centre(q, c), r = centre - at;
      if (!seen(at, centre)) continue;
      const double d2 = glm::dot(r, r);
      const dvec3 corner = centre - 0.5 * (u + v);
      const dvec3 e = d2 < 4 * size2 ? patch_vector(at, &p.n, corner, u, v, q.n) : far_patch_vector(at, corner, u, v, q.n, d2 < 30 * size2 ? 2 : 1);
      sent.e[cells * k + c] = static_cast<float>(std::max(0.0, glm::dot(e, p.n)) * area_over_pi / area);
    }
  }
  for (int k = 0; k < cells; ++k) {
    double even = 0, mean = 0;
    for (int c = 0; c < cells; ++c) {
      even += sent.e[cells * k + c];
      mean += static_cast<double>(to.share[c]) * sent.e[cells * c + k];
    }
    sent.even[k] = static_cast<float>(even);
    sent.mean[k] = static_cast<float>(mean);
  }
  return sent;
}

constexpr auto whole_shares = [] {
  std::array<float, cells> shares{};
  shares.fill(1.0f / cells);
  return shares;
}();

/// What patch at b's cells send to that at a's; of whole patches of faces, if `pair` is given, to any pair's that lies alike.
CellsAcross sent_across(const Room& room, const LightBasis& basis, int a, int b, const AlikePairs::Pair* pair) {
  if (pair) return cells_across({pair->a, whole_shares.data(), pair->a.area / pi}, {pair->b, whole_shares.data(), pair->b.area / pi}, [](dvec3, dvec3) { return true; });
  const auto side = [&](int j) { return Side{basis.patch[j], &basis.cell_share[cells * j], basis.far[j].area_over_pi}; };
  return cells_across(side(a), side(b), [&](dvec3 at, dvec3 centre) { return basis.patch[a].window >= 0 || room.sees(at, centre); });
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

/// Illuminance at the middles of a patch's cells per unit exitance of a far patch.
std::array<float, cells> sent_to_cells(const Patch& p, const Patch& q, double area_over_pi, double size2) {
  std::array<float, cells> sent{};
  const double area = glm::length(glm::cross(q.u, q.v));
  const dvec3 far = q.centre();
  for (int k = 0; k < cells; ++k) {
    const dvec3 at = p.corner + 0.25 * (k % 4 + 0.5) * p.u + 0.25 * (k / 4 + 0.5) * p.v, r = far - at;
    if (glm::dot(r, p.n) <= 0) continue;
    const dvec3 e = far_patch_vector(at, q.corner, q.u, q.v, q.n, glm::dot(r, r) < 12 * size2 ? 2 : 1);
    sent[static_cast<std::size_t>(k)] = static_cast<float>(std::max(0.0, glm::dot(e, p.n)) * area_over_pi / area);
  }
  return sent;
}

/// What pairs of patches of two faces send across a corner of a convex room, worked out once for all that lie alike.
struct Alike {
  AlikePairs pairs;
  int to = 0, from = 0;                            ///< first patches
  std::vector<int> cells_at, face_at;              ///< of a kind: where in the lists below; -1: nobody asks
  std::vector<std::array<float, cells>> face;      ///< what the whole patch sends to cells
};

/// `e`: where its figures go, one for every cell and patch.
Across across_from(const Room& room, const LightBasis& basis, int a, int surface, const Alike* alike, float* e) {
  const PatchGrid& grid = basis.grid[surface];
  Across across{grid.first, grid.nx * grid.ny, e, {}};
  std::vector<char> nearer(static_cast<std::size_t>(across.count), 0);
  for (const Neighbour& near : basis.neighbours[a])
    if (near.from >= across.first && near.from < across.first + across.count) nearer[static_cast<std::size_t>(near.from - across.first)] = 1;
  for (int b = 0; b < across.count; ++b) {
    const FarPatch& far = basis.far[across.first + b];
    if (nearer[static_cast<std::size_t>(b)] || far.area_over_pi <= 0) {
      for (int k = 0; k < cells; ++k) e[across.count * k + b] = 0;
      continue;
    }
    const int kind = alike && basis.whole[across.first + b] ? alike->face_at[alike->pairs.kind(static_cast<std::size_t>(a - alike->to), static_cast<std::size_t>(b))] : -1;
    std::array<float, cells> sent = kind >= 0 ? alike->face[static_cast<std::size_t>(kind)] : sent_to_cells(basis.patch[a], basis.patch[across.first + b], far.area_over_pi, far.size2);
    for (int k = 0; k < cells; ++k) {
      const bool seen = basis.cell_share[cells * a + k] > 0 && (room.convex || room.sees(basis.cell_centre(a, k), far.centre));
      e[across.count * k + b] = seen ? sent[static_cast<std::size_t>(k)] : 0;
    }
  }
  for (int k = 0; k < cells; ++k) across.even[k] = std::accumulate(e + across.count * k, e + across.count * (k + 1), 0.0);
  return across;
}

}  // namespace

void make_neighbours(const Room& room, LightBasis& basis) {
  const int faces = static_cast<int>(room.surfaces.size());
  basis.neighbours.resize(basis.patch.size());
  basis.corner_faces.resize(basis.patch.size());
  basis.recesses.resize(basis.patch.size());
  basis.lit_by_cells.resize(basis.patch.size());
  std::vector<double> most_size2;
  for (const PatchGrid& grid : basis.grid) {
    most_size2.push_back(0);
    for (int b = grid.first; b < grid.first + grid.nx * grid.ny; ++b) most_size2.back() = std::max(most_size2.back(), basis.far[b].size2);
  }
  // who has which neighbours, and touches which faces
  std::vector<std::vector<int>> touched(basis.patch.size());
  for_each_index(basis.count(), [&](int a) {
    const Patch& patch = basis.patch[a];
    if (patch.area <= 0) return;
    const auto look_at = [&](int first, int last) {
      for (int b = first; b < last; ++b)
        if (across_a_corner(basis, a, b)) basis.neighbours[a].push_back({b, nullptr});
    };
    if (patch.window >= 0) return look_at(basis.parts[patch.window].left, basis.parts[patch.window].end);
    for (int surface = 0; surface < faces; ++surface) {
      const PatchGrid& grid = basis.grid[surface];
      const double off = room.surfaces[surface].frame.height_of(basis.far[a].centre), most = std::max(basis.far[a].size2, most_size2[static_cast<std::size_t>(surface)]);
      if (surface != patch.surface && off > 0 && off * off < far_neighbour * most) look_at(grid.first, grid.first + grid.nx * grid.ny);
      if (touches(room, basis, a, surface)) touched[static_cast<std::size_t>(a)].push_back(surface);
    }
    for (const WindowParts& parts : basis.parts)
      for (int b = parts.left; b < parts.end; ++b)
        if (recess_near(room, basis, a, b)) basis.recesses[a].push_back(from_recess(room, basis, a, b));
  });

  // pairs that lie alike share what they send; in a room with inner corners something may stand between some of them
  struct Wanted { int a, b; const Alike* alike; std::size_t kind; };
  struct OfFaces {
    std::unique_ptr<Alike> alike;
    std::vector<Wanted> cells;
    std::vector<std::size_t> faces;  // kinds
    std::size_t first = 0;           // of the cells among all that are wanted
  };
  std::vector<OfFaces> of_faces(static_cast<std::size_t>(faces * faces));  // [to][from]
  const auto place_of = [&](int a, int from) { return static_cast<std::size_t>(basis.patch[a].surface * faces + from); };
  const auto shareable = [&](int a, int b) { return room.convex && basis.patch[a].window < 0 && basis.whole[a] && basis.whole[b]; };
  std::vector<std::size_t> first_of{0};  // of each patch's neighbours among all
  for (const auto& own : basis.neighbours) first_of.push_back(first_of.back() + own.size());
  std::vector<std::size_t> sent_by(first_of.back());  // of each neighbour in order: which of those wanted, at first of its faces
  for_each_index(room.convex ? faces * faces : 0, [&](int task) {
    const int to = task / faces, from = task % faces;
    const PatchGrid &own = basis.grid[to], &grid = basis.grid[from];
    OfFaces& here = of_faces[static_cast<std::size_t>(task)];
    const auto made = [&]() -> Alike& {
      if (!here.alike) {
        here.alike.reset(new Alike{AlikePairs(room, basis, to, from), own.first, grid.first, {}, {}, {}});
        here.alike->cells_at.assign(here.alike->pairs.count(), -1);
        here.alike->face_at.assign(here.alike->pairs.count(), -1);
      }
      return *here.alike;
    };
    for (int a = own.first; a < own.first + own.nx * own.ny; ++a) {
      if (!basis.whole[a]) continue;
      for (std::size_t i = 0; i < basis.neighbours[a].size(); ++i) {
        const int b = basis.neighbours[a][i].from;
        if (basis.patch[b].surface != from || !shareable(a, b)) continue;
        Alike& alike = made();
        const std::size_t kind = alike.pairs.kind(static_cast<std::size_t>(a - own.first), static_cast<std::size_t>(b - grid.first));
        int& at = alike.cells_at[kind];
        if (at < 0) {
          at = static_cast<int>(here.cells.size());
          here.cells.push_back({a, b, &alike, kind});
        }
        sent_by[first_of[static_cast<std::size_t>(a)] + i] = static_cast<std::size_t>(at);
      }
      const auto& beside = touched[static_cast<std::size_t>(a)];
      if (std::find(beside.begin(), beside.end(), from) == beside.end()) continue;
      Alike& alike = made();
      for (int b = 0; b < grid.nx * grid.ny; ++b) {
        if (!basis.whole[grid.first + b]) continue;
        const std::size_t kind = alike.pairs.kind(static_cast<std::size_t>(a - own.first), static_cast<std::size_t>(b));
        int& at = alike.face_at[kind];
        if (at >= 0) continue;
        at = static_cast<int>(here.faces.size());
        here.faces.push_back(kind);
      }
    }
    if (here.alike) here.alike->face.resize(here.faces.size());
  });
  std::vector<Wanted> wanted;
  struct FaceWanted { OfFaces* of; std::size_t at; };
  std::vector<FaceWanted> faces_wanted;
  for (OfFaces& here : of_faces) {
    here.first = wanted.size();
    wanted.insert(wanted.end(), here.cells.begin(), here.cells.end());
    for (std::size_t at = 0; at < here.faces.size(); ++at) faces_wanted.push_back({&here, at});
  }
  for (int a = 0; a < basis.count(); ++a)
    for (std::size_t i = 0; i < basis.neighbours[a].size(); ++i) {
      const int b = basis.neighbours[a][i].from;
      std::size_t& at = sent_by[first_of[static_cast<std::size_t>(a)] + i];
      if (shareable(a, b)) {
        at += of_faces[place_of(a, basis.patch[b].surface)].first;
        continue;
      }
      at = wanted.size();
      wanted.push_back({a, b, nullptr, 0});
    }
  auto sent = std::make_shared<std::vector<CellsAcross>>(wanted.size());
  for_each_index(static_cast<int>(wanted.size()), [&](int i) {
    const Wanted& w = wanted[static_cast<std::size_t>(i)];
    std::optional<AlikePairs::Pair> pair;
    if (w.alike) pair = w.alike->pairs.example(w.kind);
    (*sent)[static_cast<std::size_t>(i)] = sent_across(room, basis, w.a, w.b, pair ? &*pair : nullptr);
  });
  constexpr int at_once = 64;
  const int many = static_cast<int>(faces_wanted.size());
  for_each_index((many + at_once - 1) / at_once, [&](int task) {
    for (int i = at_once * task; i < std::min(many, at_once * (task + 1)); ++i) {
      const auto& [of, at] = faces_wanted[static_cast<std::size_t>(i)];
      const AlikePairs::Pair pair = of->alike->pairs.example(of->faces[at]);
      const double size2 = std::max(glm::dot(pair.b.u, pair.b.u), glm::dot(pair.b.v, pair.b.v));
      of->alike->face[at] = sent_to_cells(pair.a, pair.b, pair.b.area / pi, size2);
    }
  });
  std::vector<std::size_t> from_faces_at;  // of each patch's first face
  std::size_t figures = 0;
  for (int a = 0; a < basis.count(); ++a) {
    for (Neighbour& near : basis.neighbours[a]) near.sent = &(*sent)[sent_by[first_of[static_cast<std::size_t>(a)] + static_cast<std::size_t>(&near - basis.neighbours[a].data())]];
    from_faces_at.push_back(figures);
    for (const int surface : touched[static_cast<std::size_t>(a)]) figures += static_cast<std::size_t>(cells * basis.grid[surface].nx * basis.grid[surface].ny);
  }
  basis.across_corners = sent;
  const std::shared_ptr<float[]> from_faces = shared_table<float>(figures);
  basis.from_faces = from_faces;
  for_each_index(basis.count(), [&](int a) {
    float* e = from_faces.get() + from_faces_at[static_cast<std::size_t>(a)];
    for (const int surface : touched[static_cast<std::size_t>(a)]) {
      basis.corner_faces[a].push_back(across_from(room, basis, a, surface, basis.whole[a] ? of_faces[place_of(a, surface)].alike.get() : nullptr, e));
      e += cells * basis.corner_faces[a].back().count;
    }
  });
  for (int a = 0; a < basis.count(); ++a) {
    for (const Neighbour& near : basis.neighbours[a]) basis.lit_by_cells[near.from].push_back(a);
    for (const FromRecess& near : basis.recesses[a]) basis.lit_by_cells[near.from].push_back(a);
  }
}

}  // namespace rakelight
