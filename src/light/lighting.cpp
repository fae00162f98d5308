// The light of one moment: weights over the basis, sun and lamps on the patches, and what they exchange.
#include <algorithm>
#include <cassert>
#include <cmath>
#include <limits>
#include <numeric>

#include <Eigen/Core>

#include "light/gather.h"
#include "light/lamp.h"
#include "light/parallel.h"
#include "light/sun.h"

namespace rakelight {
namespace {

const HeldLamp* held_place(const Moment& moment, int lamp) {
  for (const HeldLamp& held : moment.held)
    if (held.lamp == lamp) return &held;
  return nullptr;
}

/// Sixteen points of a cell with distinct x and distinct y (Hammersley 1960): an edge along either axis, or across
/// both, is placed to about a sixteenth of the cell.
dvec2 spread_point(int k) {
  const int turned = (k & 1) * 8 + (k & 2) * 2 + (k & 4) / 2 + (k & 8) / 8;
  return {(k + 0.5) / 16, (turned + 0.5) / 16};
}

/// Adds the sun's illuminance to a patch's cells: by their middles, or where these and the patch's corners say that an
/// edge of sunlight crosses it, by sixteen points a cell.
void add_sun(const SunBeams& beams, const LightBasis& basis, const Lighting& lighting, int j, double* e) {
  const Patch& patch = basis.patch[j];
  if (!beams.any() || glm::dot(lighting.sky.sun_direction, patch.n) <= 0) return;
  const auto at = [&](dvec3 p) {
    const SunAt sun = beams.at(p, patch.window);
    return sun.window >= 0 ? glm::dot(sun_vector(lighting.sky, sun, patch.n), patch.n) : 0.0;
  };
  std::array<double, cells> middle{};
  double least = std::numeric_limits<double>::infinity(), most = 0;
  const auto note = [&](double value) {
    least = std::min(least, value);
    most = std::max(most, value);
    return value;
  };
  for (int k = 0; k < cells; ++k)
    if (basis.cell_share[cells * j + k] > 0) middle[k] = note(at(basis.cell_centre(j, k)));
  for (int k = 0; k < 4; ++k) note(at(patch.corner + (k % 2 == 0 ? 1e-6 : 1 - 1e-6) * patch.u + (k < 2 ? 1e-6 : 1 - 1e-6) * patch.v));
  if (most <= 0) return;
  const bool crossed = most - least > 1e-9 * most;
  for (int k = 0; k < cells; ++k) {
    if (basis.cell_share[cells * j + k] <= 0) continue;
    if (!crossed) {
      e[k] += middle[k];
      continue;
    }
    const dvec3 corner = patch.corner + 0.25 * (k % 4) * patch.u + 0.25 * (k / 4) * patch.v;
    for (int q = 0; q < 16; ++q) {
      const dvec2 s = spread_point(q);
      e[k] += at(corner + 0.25 * s.x * patch.u + 0.25 * s.y * patch.v) / 16;
    }
  }
}

/// The sun on a covered pane, which sends it on scattered.
void add_sun_on_cover(const SunBeams& beams, const Room& room, const LightBasis& basis, int j, double* e) {
  const double share = cover_glow(room, basis, j);
  if (share <= 0 || !beams.any()) return;
  const Patch& patch = basis.patch[j];
  const int points = room.windows[patch.window].shades.any() ? 16 : 1;
  for (int k = 0; k < cells; ++k)
    for (int q = 0; q < points; ++q) {
      const dvec2 s = points > 1 ? spread_point(q) : dvec2(0.5);
      const dvec3 p = patch.corner + 0.25 * ((k % 4 + s.x) * patch.u + (k / 4 + s.y) * patch.v);
      e[k] += share / points * beams.on_glass(p, patch.window);
    }
}

/// Direct illuminance of every cell, lx. `moved`: lamps that the basis has elsewhere.
std::vector<double> direct_light(const Room& room, const LightBasis& basis, const Lighting& lighting, const Moment& moment,
                                 const std::vector<Lamp>& moved, const SkyTable& sky, const std::vector<double>& even) {
  std::vector<double> e(cells * basis.patch.size(), 0.0);
  const std::vector<LampLight> held(moved.begin(), moved.end());
  const SunBeams beams(room, lighting.sky, lighting.glazing);
  for_each_index(basis.count(), [&](int j) {
    if (basis.patch[j].area <= 0) return;
    for (int c = cells * j; c < cells * (j + 1); ++c) {
      double sum = 0;
      for (std::uint32_t k = basis.run[c].begin; k < basis.run[c].end; ++k) sum += basis.sky[k].e * sky.at(basis.sky[k].place);
      for (std::size_t b = 0; b < even.size(); ++b) sum += basis.even[static_cast<std::size_t>(c) * even.size() + b] * even[b];
      for (std::size_t l = 0; l < basis.lamp.size(); ++l)
        if (l < moment.lamp_on.size() && moment.lamp_on[l] > 0 && !held_place(moment, static_cast<int>(l)))
          sum += moment.lamp_on[l] * static_cast<double>(basis.lamp[l][c]);
      for (std::size_t l = 0; l < held.size(); ++l) sum += lamp_on_cell(room, basis, moved[l], held[l], j, c - cells * j);
      e[c] = sum;
    }
    add_sun(beams, basis, lighting, j, &e[cells * j]);
    add_sun_on_cover(beams, room, basis, j, &e[cells * j]);
  });
  return e;
}

/// Exitances B = rho (E0 + F B). With y = sqrt(A / rho) B the system is symmetric and positive definite, and conjugate
/// gradients (Hestenes & Stiefel 1952) need about ten products to get from 1 to 1e-6, where products in float end. They
/// stop when the residual is `least` of the first.
std::vector<double> exitances(const LightBasis& basis, const std::vector<double>& direct, double least, Balance& balance) {
  const int n = basis.count();
  std::vector<double> half(n), y(n, 0.0), r(n), p(n), image(n);
  std::vector<float> q(n);
  double norm0 = 0;
  for (int i = 0; i < n; ++i) {
    const Patch& patch = basis.patch[i];
    half[i] = patch.area > 0 ? std::sqrt(patch.reflectance / patch.area) : 0;
    r[i] = std::sqrt(patch.area * patch.reflectance) * direct[i];
    norm0 += r[i] * r[i];
  }
  p = r;
  double norm = norm0;
  for (int step = 0; step < 200 && norm > least * least * norm0; ++step) {
    for (int i = 0; i < n; ++i) q[i] = static_cast<float>(half[i] * p[i]);
    for_each_index(n, [&](int i) {
      image[i] = p[i] - half[i] * row_times(basis.exchange.data() + static_cast<std::size_t>(i) * n, q);
    });
    double along = 0;
    for (int i = 0; i < n; ++i) along += p[i] * image[i];
    const double a = norm / along;
    double next = 0;
    for (int i = 0; i < n; ++i) {
      y[i] += a * p[i];
      r[i] -= a * image[i];
      next += r[i] * r[i];
    }
    const double b = next / norm;
    for (int i = 0; i < n; ++i) p[i] = r[i] + b * p[i];
    norm = next;
    balance.steps = step + 1;
  }
  balance.residual = norm0 > 0 ? std::sqrt(norm / norm0) : 0;
  for (int i = 0; i < n; ++i) y[i] *= half[i];
  return y;
}

/// Light on each patch, lx, because neighbours across a corner do not send evenly: `first`, exitances of cells with their own
/// direct light, against the patches' means `m`. A wall that is bright at its foot only lights the ceiling less than its mean
/// would; what the neighbours miss lands on all others, by their exchange.
std::vector<double> beyond_means(const LightBasis& basis, const std::vector<double>& first, const std::vector<double>& m) {
  const std::size_t n = m.size();
  std::vector<double> more(n, 0.0), taken(n, 0.0), nearby(n, 0.0);
  for (std::size_t a = 0; a < n; ++a)
    for (const Neighbour& near : basis.neighbours[a]) {
      const std::size_t b = static_cast<std::size_t>(near.from);
      double sum = 0;
      for (std::size_t c = 0; c < cells; ++c) sum += near.mean[c] * (first[cells * b + c] - m[b]);
      more[a] += sum;
      taken[b] += basis.patch[a].area * sum;
      nearby[b] += basis.exchange[b * n + a];
    }
  for (std::size_t b = 0; b < n; ++b) {
    const double rest = basis.patch[b].area - nearby[b];
    if (taken[b] == 0 || rest <= 0.05 * basis.patch[b].area) continue;
    const float* row = basis.exchange.data() + b * n;
    const double share = taken[b] / rest;
    for (std::size_t j = 0; j < n; ++j)
      if (basis.patch[j].area > 0) more[j] -= share * row[j] / basis.patch[j].area;
    for (const Neighbour& near : basis.neighbours[b]) {
      const std::size_t a = static_cast<std::size_t>(near.from);
      more[a] += share * row[a] / basis.patch[a].area;
    }
  }
  return more;
}

/// Light on each patch, lx, because uneven patches send from where they are bright: `first` and `m` as above. A patch of which
/// the sun lights the lower third stands that much lower for all that are not its neighbours, whatever it sends in all. Adds to `more`.
void from_where_bright(const LightBasis& basis, const std::vector<double>& first, const std::vector<double>& m, std::vector<double>& more) {
  const std::size_t n = m.size();
  struct Moved { std::size_t patch; dvec3 to; };
  std::vector<Moved> moved;
  std::vector<int> which(n, -1);
  double flux = 0, area = 0;
  for (std::size_t j = 0; j < n; ++j) {
    flux += basis.patch[j].area * m[j];
    area += basis.patch[j].area;
  }
  for (std::size_t j = 0; j < n; ++j) {
    const Patch& patch = basis.patch[j];
    if (patch.window >= 0 || patch.area <= 0 || m[j] < 0.2 * flux / area) continue;
    dvec3 sum(0);
    for (int k = 0; k < cells; ++k)
      sum += (basis.cell_share[cells * j + k] * (first[cells * j + k] - m[j])) * basis.cell_centre(static_cast<int>(j), k);
    const dvec3 off = sum / m[j];
    if (glm::dot(off, off) < 1e-3 * basis.far[j].size2) continue;  // a thirtieth of its side
    which[j] = static_cast<int>(moved.size());
    moved.push_back({j, basis.far[j].centre + off});
  }
  std::vector<char> neighbour(moved.size() * n, 0);
  for (std::size_t a = 0; a < n; ++a)
    for (const Neighbour& near : basis.neighbours[a])
      if (which[near.from] >= 0) neighbour[static_cast<std::size_t>(which[near.from]) * n + a] = 1;
  std::vector<double> share(n);
  for (std::size_t i = 0; i < moved.size(); ++i) {
    const FarPatch& far = basis.far[moved[i].patch];
    const float* row = basis.exchange.data() + moved[i].patch * n;
    double before = 0, after = 0;
    for (std::size_t a = 0; a < n; ++a) {
      share[a] = 0;
      if (row[a] <= 0 || neighbour[i * n + a]) continue;
      const auto seen_from = [&](dvec3 p) {
        const dvec3 r = basis.far[a].centre - p;
        const double d2 = glm::dot(r, r);
        return std::max(0.0, glm::dot(r, far.n)) * std::max(0.0, -glm::dot(r, basis.far[a].n)) / (d2 * d2);
      };
      const double middle = seen_from(far.centre);
      share[a] = row[a] * (middle > 0 ? std::clamp(seen_from(moved[i].to) / middle, 0.3, 3.0) : 1.0);
      before += row[a];
      after += share[a];
    }
    if (after <= 0) continue;
    for (std::size_t a = 0; a < n; ++a)
      if (share[a] > 0) more[a] += m[moved[i].patch] * (share[a] * before / after - row[a]) / basis.patch[a].area;
  }
}

float sixteen_times(const float* a, const float* b) {
  using Sixteen = Eigen::Map<const Eigen::Matrix<float, cells, 1>>;
  return Sixteen(a).dot(Sixteen(b));
}

/// Solves the bounce between patches, and spreads it to their cells. Each cell has its own direct light and what cells
/// across a corner send to it; all other bounced light is taken linearly between the middles of patches; and the mean of
/// every patch stays.
void bounce(const LightBasis& basis, const std::vector<double>& direct, Lighting& lighting) {
  const int n = basis.count();
  std::vector<double> mean(n, 0.0), bounced(n, 0.0);
  for (int j = 0; j < n; ++j) {
    if (basis.patch[j].reflectance <= 0) continue;
    for (int c = cells * j; c < cells * (j + 1); ++c) mean[j] += basis.cell_share[c] * basis.cell_reflectance[c] * direct[c];
    mean[j] /= basis.patch[j].reflectance;
  }
  lighting.patch_exitance = exitances(basis, mean, 3e-7, lighting.balance);
  std::vector<double>& m = lighting.patch_exitance;
  std::vector<double> first(cells * static_cast<std::size_t>(n), 0.0);  // cells with their own direct light only
  const auto own_light_only = [&] {
    for (int j = 0; j < n; ++j)
      for (int c = cells * j; c < cells * (j + 1); ++c) first[c] = std::max(0.0, m[j] + basis.cell_reflectance[c] * (direct[c] - mean[j]));
  };
  own_light_only();
  Balance unused;  // some hundredths of the light: a thousandth of it is enough
  std::vector<double> more = beyond_means(basis, first, m);
  from_where_bright(basis, first, m, more);
  const std::vector<double> change = exitances(basis, more, 1e-3, unused);
  for (int j = 0; j < n; ++j) m[j] = std::max(0.0, m[j] + change[j]);
  own_light_only();
  double flux = 0, area = 0;
  for (int j = 0; j < n; ++j) {
    const Patch& patch = basis.patch[j];
    if (patch.area > 0 && patch.reflectance > 0) bounced[j] = m[j] / patch.reflectance - mean[j];
    flux += patch.area * m[j];
    area += patch.area;
  }
  const std::vector<float> means(m.begin(), m.end()), firsts(first.begin(), first.end());
  // what each face sends to every patch, and what it would send at exitance 1; made where it is asked for
  struct FromFace { double e = 0, even = -1; };
  std::vector<FromFace> from_face(static_cast<std::size_t>(n) * basis.grid.size());
  const auto sent = [&](int i, const Across& face) {
    FromFace& known = from_face[static_cast<std::size_t>(i) * basis.grid.size() + static_cast<std::size_t>(basis.patch[face.first].surface)];
    if (known.even >= 0) return known;
    const float* row = basis.exchange.data() + static_cast<std::size_t>(i) * n + face.first;
    return known = {row_times(row, means.data() + face.first, static_cast<std::size_t>(face.count)), std::accumulate(row, row + face.count, 0.0)};
  };
  // told from afar, a patch 2.5 of its sizes away whose halves differ by this much moves the light by a thousandth
  const double even = 0.2 * flux / area;
  lighting.cell_exitance.assign(cells * static_cast<std::size_t>(n), 0.0);
  for (int j = 0; j < n; ++j) {
    const Patch& patch = basis.patch[j];
    if (patch.area <= 0) continue;
    std::array<double, cells> own{};
    double sum = 0;
    const auto is_across = [&](int from) {
      return std::any_of(basis.corner_faces[j].begin(), basis.corner_faces[j].end(), [&](const Across& a) { return from >= a.first && from < a.first + a.count; });
    };
    // bounced light at patch i less what faces and neighbours across j's corners send there beyond the light around, which
    // is what all else would send in their place
    const auto even_part = [&](int i) {
      const float* row = basis.exchange.data() + static_cast<std::size_t>(i) * n;
      double e = bounced[i];
      for (const Neighbour& near : basis.neighbours[j])
        if (!is_across(near.from)) e -= row[near.from] / basis.patch[i].area * (m[near.from] - bounced[j]);
      for (const Across& face : basis.corner_faces[j]) {
        const FromFace from = sent(i, face);
        e -= (from.e - bounced[j] * from.even) / basis.patch[i].area;
      }
      return e;
    };
    // at the patch and those about it, row by row
    std::array<double, 9> there{};
    if (patch.window < 0) {
      const PatchGrid& grid = basis.grid[patch.surface];
      const int column = (j - grid.first) % grid.nx, row = (j - grid.first) / grid.nx;
      for (int q = 0; q < 9; ++q) {
        const int other = grid.first + std::clamp(row + q / 3 - 1, 0, grid.ny - 1) * grid.nx + std::clamp(column + q % 3 - 1, 0, grid.nx - 1);
        there[q] = even_part(basis.patch[other].area > 0 ? other : j);
      }
    }
    for (int k = 0; k < cells; ++k) {
      const int c = cells * j + k;
      double around = bounced[j];
      if (patch.window < 0) {
        const double s = (k % 4 - 1.5) / 4, t = (k / 4 - 1.5) / 4, x = std::abs(s), y = std::abs(t);
        const int i = s < 0 ? -1 : 1, r = t < 0 ? -3 : 3;
        around = (1 - x) * (1 - y) * there[4] + x * (1 - y) * there[4 + i] + (1 - x) * y * there[4 + r] + x * y * there[4 + i + r];
        for (const Neighbour& near : basis.neighbours[j])
          around += sixteen_times(near.e.data() + cells * k, firsts.data() + static_cast<std::size_t>(cells * near.from)) - bounced[j] * near.even[k];
        // light that comes along a face falls off to nothing in the corner: between the middles of patches no straight line is that
        for (const Across& face : basis.corner_faces[j])
          around += row_times(face.e.data() + static_cast<std::size_t>(face.count) * k, means.data() + face.first, static_cast<std::size_t>(face.count)) - bounced[j] * face.even[k];
      }
      own[k] = basis.cell_reflectance[c] * (direct[c] + around);
      sum += basis.cell_share[c] * own[k];
    }
    double off = 0;
    for (int k = 0; k < cells; ++k) {
      const int c = cells * j + k;
      lighting.cell_exitance[c] = std::max(0.0, own[k] + m[j] - sum);
      if (basis.cell_share[c] > 0) off = std::max(off, std::abs(lighting.cell_exitance[c] - m[j]));
    }
    if (off > even) lighting.uneven.push_back(j);
  }
}

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
  std::vector<dvec3> bounce(static_cast<std::size_t>(bx) * by);
  for_each_index(bx * by, [&](int i) {
    const float* row = unit.bounce.data() + static_cast<std::size_t>(i) * n * 3;
    dvec3 sum(0);
    for (int j = 0; j < n; ++j) sum += lighting.patch_exitance[j] * dvec3(row[3 * j], row[3 * j + 1], row[3 * j + 2]);
    for (std::uint32_t k = unit.cell_run[i].begin; k < unit.cell_run[i].end; ++k) {
      const CellVector& v = unit.cell[k];
      sum += lighting.cell_exitance[v.cell] * dvec3(v.x, v.y, v.n);
    }
    if (!lighting.uneven.empty()) {
      const dvec2 p = settled(face, {unit.bounce_x[i % bx], unit.bounce_y[i / bx]});
      sum += face.frame.surface_direction(uneven_light(lighting, Gathering(*lighting.room, basis, face.frame.world_from_surface(p), face.frame.n, surface)).e);
    }
    bounce[i] = sum;
  });
  std::vector<Taps> tx, ty;
  for (int i = 0; i < g.nx; ++i) tx.push_back(taps_at(unit.bounce_x, g.origin.x + i * g.step.x));
  for (int j = 0; j < g.ny; ++j) ty.push_back(taps_at(unit.bounce_y, g.origin.y + j * g.step.y));
  for_each_index(g.ny, [&](int j) {
    for (int i = 0; i < g.nx; ++i) {
      const int index = j * g.nx + i;
      dvec3 e(0);
      for (std::uint32_t k = unit.run[index].begin; k < unit.run[index].end; ++k) {
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

}  // namespace

Lighting make_lighting(const Job& job, const Room& room, std::shared_ptr<const LightBasis> basis, const Moment& moment, const std::vector<Lamp>& extra) {
  Lighting lighting;
  lighting.basis = basis;
  lighting.room = &room;
  lighting.sky = moment.sky;
  std::vector<Lamp> moved;
  for (std::size_t l = 0; l < job.lamps.size(); ++l) {
    if (l >= moment.lamp_on.size() || moment.lamp_on[l] <= 0) continue;
    LampSpec spec = job.lamps[l];
    const HeldLamp* held = held_place(moment, static_cast<int>(l));
    if (held) {
      spec.position.value = held->position;
      spec.aim.value = held->aim;
    }
    lighting.lamps.push_back(make_lamp(spec, room));
    lighting.lamps.back().peak *= moment.lamp_on[l];
    if (held) moved.push_back(lighting.lamps.back());
  }
  lighting.lamps.insert(lighting.lamps.end(), extra.begin(), extra.end());
  moved.insert(moved.end(), extra.begin(), extra.end());
  for (const Window& w : room.windows) lighting.glazing.push_back(make_glazing(w));
  const SkyTable sky(moment.sky);
  const std::vector<double> even = basis->bands.luminance(room, moment.sky);
  bounce(*basis, direct_light(room, *basis, lighting, moment, moved, sky, even), lighting);
  lighting.fields.resize(room.surfaces.size());
  for (int s = 0; s < static_cast<int>(basis->field.size()); ++s)
    if (basis->field[s].nx > 0) lighting.fields[s] = make_field(lighting, s, sky, even);
  return lighting;
}

}  // namespace rakelight
