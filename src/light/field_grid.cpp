#include "light/field_grid.h"

#include <algorithm>
#include <array>
#include <cassert>

#include "light/gather.h"
#include "light/parallel.h"

namespace rakelight {
namespace {

/// Four nodes of an uneven axis around x and their Lagrange weights.
struct Taps { int first = 0; std::array<double, 4> weight{}; };
Taps taps_at(const std::vector<double>& at, double x) {
  const int n = static_cast<int>(at.size());
  assert(n >= 4);
  const int above = static_cast<int>(std::upper_bound(at.begin(), at.end(), x) - at.begin());
  Taps t;
  t.first = std::clamp(above - 2, 0, n - 4);
  for (int i = 0; i < 4; ++i) {
    double w = 1;
    for (int j = 0; j < 4; ++j)
      if (j != i) w *= (x - at[t.first + j]) / (at[t.first + i] - at[t.first + j]);
    t.weight[i] = w;
  }
  return t;
}

/// Fills in the nodes that have no row of their own: first those of rows that go through, from such columns, then up the columns.
void fill_between(const UnitField& unit, std::vector<dvec3>& bounce) {
  const int bx = static_cast<int>(unit.bounce_x.size()), by = static_cast<int>(unit.bounce_y.size());
  std::vector<double> x, y;
  for (const int i : unit.through_x) x.push_back(unit.bounce_x[i]);
  for (const int j : unit.through_y) y.push_back(unit.bounce_y[j]);
  const auto missing = [&](int i, int j) { return unit.bounce_row[static_cast<std::size_t>(j) * bx + i] < 0; };
  for (const int j : unit.through_y)
    for (int i = 0; i < bx; ++i) {
      if (!missing(i, j)) continue;
      const Taps t = taps_at(x, unit.bounce_x[i]);
      for (int k = 0; k < 4; ++k) bounce[j * bx + i] += t.weight[k] * bounce[j * bx + unit.through_x[t.first + k]];
    }
  for (int j = 0; j < by; ++j) {
    if (std::binary_search(unit.through_y.begin(), unit.through_y.end(), j)) continue;
    const Taps t = taps_at(y, unit.bounce_y[j]);
    for (int i = 0; i < bx; ++i)
      if (missing(i, j))
        for (int k = 0; k < 4; ++k) bounce[j * bx + i] += t.weight[k] * bounce[unit.through_y[t.first + k] * bx + i];
  }
}

/// First derivative along a row of nodes: fourth order inside, third at the ends.
double slope_at(const FieldGrid& g, int i, int n, int base, int stride, double step, bool along_y) {
  const auto v = [&](int k) {
    const LightVector& e = g.node[base + k * stride].e;
    return along_y ? e.y : e.x;
  };
  if (i >= 2 && i + 2 < n) return (v(i - 2) - 8 * v(i - 1) + 8 * v(i + 1) - v(i + 2)) / (12 * step);
  if (i == 0) return (-11 * v(0) + 18 * v(1) - 9 * v(2) + 2 * v(3)) / (6 * step);
  if (i == n - 1) return (11 * v(n - 1) - 18 * v(n - 2) + 9 * v(n - 3) - 2 * v(n - 4)) / (6 * step);
  if (i == 1) return (-2 * v(0) - 3 * v(1) + 6 * v(2) - v(3)) / (6 * step);
  return (2 * v(n - 1) + 3 * v(n - 2) - 6 * v(n - 3) + v(n - 4)) / (6 * step);
}

}  // namespace

FieldGrid make_field(const Lighting& lighting, int surface, const SkyTable& sky, const std::vector<double>& even) {
  const LightBasis& basis = *lighting.basis;
  const UnitField& unit = basis.field[surface];
  const Surface& face = lighting.room->surfaces[surface];
  FieldGrid g;
  g.nx = unit.nx;
  g.ny = unit.ny;
  g.origin = unit.origin;
  g.step = unit.step;
  g.node.resize(static_cast<std::size_t>(g.nx) * g.ny);
  const int bx = static_cast<int>(unit.bounce_x.size()), by = static_cast<int>(unit.bounce_y.size());
  const int n = basis.count();
  std::vector<dvec3> bounce(static_cast<std::size_t>(bx) * by, dvec3(0));
  for_each_index(bx * by, [&](int i) {
    const int at = unit.bounce_row[static_cast<std::size_t>(i)];
    if (at < 0) return;
    const float* row = unit.bounce.get() + static_cast<std::size_t>(at) * n * 3;
    dvec3 sum(0);
    for (int j = 0; j < n; ++j) sum += lighting.patch_exitance[j] * dvec3(row[3 * j], row[3 * j + 1], row[3 * j + 2]);
    for (std::uint32_t k = unit.cell_run[at].begin; k < unit.cell_run[at].end; ++k) {
      const CellVector& v = unit.cell[k];
      sum += lighting.cell_exitance[v.cell] * dvec3(v.x, v.y, v.n);
    }
    if (!lighting.uneven.empty()) {
      const dvec2 p = settled(face, {unit.bounce_x[i % bx], unit.bounce_y[i / bx]});
      sum += face.frame.surface_direction(uneven_light(lighting, Gathering(*lighting.room, basis, face.frame.world_from_surface(p), face.frame.n, surface)).e);
    }
    bounce[i] = sum;
  });
  fill_between(unit, bounce);
  std::vector<Taps> tx, ty;
  for (int i = 0; i < g.nx; ++i) tx.push_back(taps_at(unit.bounce_x, g.origin.x + i * g.step.x));
  for (int j = 0; j < g.ny; ++j) ty.push_back(taps_at(unit.bounce_y, g.origin.y + j * g.step.y));
  for_each_index(g.ny, [&](int j) {
    for (int i = 0; i < g.nx; ++i) {
      const int index = j * g.nx + i;
      dvec3 e(0);
      for (std::uint32_t k = unit.run[index].begin; k < unit.run[index].end && !sky.black(); ++k) {
        const SkyVector& u = unit.sky[k];
        e += sky.at(u.place) * dvec3(u.x, u.y, u.n);
      }
      for (std::size_t b = 0; b < even.size(); ++b) {
        const float* v = unit.even.data() + 3 * (static_cast<std::size_t>(index) * even.size() + b);
        e += even[b] * dvec3(v[0], v[1], v[2]);
      }
      for (int b = 0; b < 4; ++b)
        for (int a = 0; a < 4; ++a)
          e += (tx[i].weight[a] * ty[j].weight[b]) * bounce[(ty[j].first + b) * bx + tx[i].first + a];
      g.node[index].e = {e.x, e.y, std::max(0.0, e.z)};
    }
  });
  for_each_index(g.ny, [&](int j) {
    for (int i = 0; i < g.nx; ++i)
      g.node[j * g.nx + i].div_t = slope_at(g, i, g.nx, j * g.nx, 1, g.step.x, false) +
                                   slope_at(g, j, g.ny, i, g.nx, g.step.y, true);
  });
  return g;
}

}  // namespace rakelight
