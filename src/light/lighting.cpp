// The light of one moment: weights over the basis, sun and lamps on the patches, and what they exchange.
#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>

#include "light/field_grid.h"
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

/// Point k of 2^bits in a cell, all with distinct x and distinct y (Hammersley 1960): an edge along either axis, or across
/// both, is placed to about that part of the cell.
template <int bits>
dvec2 spread_point(int k) {
  constexpr int count = 1 << bits;
  int turned = 0;
  for (int bit = 0; bit < bits; ++bit) turned |= (k >> bit & 1) << (bits - 1 - bit);
  return {(k + 0.5) / count, (turned + 0.5) / count};
}

/// Adds the sun's illuminance to a patch's cells: by their middles; where these and the patch's corners say that an edge of
/// sunlight crosses the patch, by 64 points in each cell whose middle and corners say the same. An edge along the cells is then
/// placed to half a millimetre of a patch of 0.25 m, 0.2 % of the light on it; by sixteen points it was 0.8 %.
void add_sun(const SunBeams& beams, const LightBasis& basis, const Lighting& lighting, int j, double* e) {
  const Patch& patch = basis.patch[j];
  if (!beams.any() || glm::dot(lighting.sky.sun_direction, patch.n) <= 0) return;
  const auto at = [&](dvec3 p) {
    const SunAt sun = beams.at(p, patch.window);
    return sun.window >= 0 ? glm::dot(sun_vector(lighting.sky, sun, patch.n), patch.n) : 0.0;
  };
  // s, t: 0 … 1 over the patch; its edges a hair inside
  const auto within = [&](double s, double t) { return at(patch.corner + std::clamp(s, 1e-6, 1 - 1e-6) * patch.u + std::clamp(t, 1e-6, 1 - 1e-6) * patch.v); };
  std::array<double, cells> middle{};
  double least = std::numeric_limits<double>::infinity(), most = 0;
  const auto note = [&](double value) {
    least = std::min(least, value);
    most = std::max(most, value);
    return value;
  };
  for (int k = 0; k < cells; ++k)
    if (basis.cell_share[cells * j + k] > 0) middle[k] = note(at(basis.cell_centre(j, k)));
  for (int k = 0; k < 4; ++k) note(within(k % 2, k / 2));
  if (most <= 0) return;
  if (most - least <= 1e-9 * most) {
    for (int k = 0; k < cells; ++k) e[k] += middle[k];
    return;
  }
  std::array<double, 25> corner{};
  for (int k = 0; k < 25; ++k) corner[k] = within(k % 5 / 4.0, k / 5 / 4.0);
  for (int k = 0; k < cells; ++k) {
    if (basis.cell_share[cells * j + k] <= 0) continue;
    const int first = k / 4 * 5 + k % 4;
    const auto [low, high] = std::minmax({middle[k], corner[first], corner[first + 1], corner[first + 5], corner[first + 6]});
    if (high - low <= 1e-9 * most) {
      e[k] += middle[k];
      continue;
    }
    for (int q = 0; q < 64; ++q) {
      const dvec2 s = spread_point<6>(q);
      e[k] += at(patch.corner + 0.25 * ((k % 4 + s.x) * patch.u + (k / 4 + s.y) * patch.v)) / 64;
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
      const dvec2 s = points > 1 ? spread_point<4>(q) : dvec2(0.5);
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

/// Light on each patch, lx, because neighbours across a corner and recesses near by do not send evenly: exitances of cells
/// against the patches' means `m`. A wall that is bright at its foot only lights the ceiling less than its mean would; what
/// patches near by miss lands on all others, by their exchange.
std::vector<double> beyond_means(const LightBasis& basis, const std::vector<double>& cell, const std::vector<double>& m) {
  const std::size_t n = m.size();
  std::vector<double> more(n, 0.0), taken(n, 0.0), nearby(n, 0.0);
  for (std::size_t a = 0; a < n; ++a) {
    const auto add = [&](int from, const std::array<float, cells>& mean) {
      const std::size_t b = static_cast<std::size_t>(from);
      double sum = 0;
      for (std::size_t c = 0; c < cells; ++c) sum += mean[c] * (cell[cells * b + c] - m[b]);
      more[a] += sum;
      taken[b] += basis.patch[a].area * sum;
      nearby[b] += basis.exchange[b * n + a];
    };
    for (const Neighbour& near : basis.neighbours[a]) add(near.from, near.sent->mean);
    for (const FromRecess& near : basis.recesses[a]) add(near.from, near.mean);
  }
  for (std::size_t b = 0; b < n; ++b) {
    const double rest = basis.patch[b].area - nearby[b];
    if (taken[b] == 0 || rest <= 0.05 * basis.patch[b].area) continue;
    const float* row = basis.exchange.data() + b * n;
    const double share = taken[b] / rest;
    for (std::size_t j = 0; j < n; ++j)
      if (basis.patch[j].area > 0) more[j] -= share * row[j] / basis.patch[j].area;
    for (const int a : basis.lit_by_cells[b]) more[static_cast<std::size_t>(a)] += share * row[a] / basis.patch[static_cast<std::size_t>(a)].area;
  }
  return more;
}

/// Light on each patch, lx, because uneven patches send from where they are bright: `cell` and `m` as above. A patch of which
/// the sun lights the lower third stands that much lower for all that are not its neighbours, whatever it sends in all. Adds to `more`.
void from_where_bright(const LightBasis& basis, const std::vector<double>& cell, const std::vector<double>& m, std::vector<double>& more) {
  const std::size_t n = m.size();
  struct Moved { std::size_t patch; dvec3 to; };
  std::vector<Moved> moved;
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
      sum += (basis.cell_share[cells * j + k] * (cell[cells * j + k] - m[j])) * basis.cell_centre(static_cast<int>(j), k);
    const dvec3 off = sum / m[j];
    if (glm::dot(off, off) < 1e-3 * basis.far[j].size2) continue;  // a thirtieth of its side
    moved.push_back({j, basis.far[j].centre + off});
  }
  std::vector<char> neighbour(moved.size() * n, 0);
  for (std::size_t i = 0; i < moved.size(); ++i)
    for (const int a : basis.lit_by_cells[moved[i].patch]) neighbour[i * n + static_cast<std::size_t>(a)] = 1;
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

/// Spreads the patches' bounced light to their cells. Each cell has its own direct light (`direct`, of which the patches have
/// `mean`) and what cells across a corner send to it, taken from exitances `cell`; all other bounced light is taken linearly
/// between the middles of patches; and the mean of every patch stays.
void spread(const LightBasis& basis, const std::vector<double>& direct, const std::vector<double>& mean, const std::vector<double>& cell, Lighting& lighting) {
  const int n = basis.count();
  const std::vector<double>& m = lighting.patch_exitance;
  std::vector<double> bounced(n, 0.0);
  double flux = 0, area = 0;
  for (int j = 0; j < n; ++j) {
    const Patch& patch = basis.patch[j];
    if (patch.area > 0 && patch.reflectance > 0) bounced[j] = m[j] / patch.reflectance - mean[j];
    flux += patch.area * m[j];
    area += patch.area;
  }
  const std::vector<float> means(m.begin(), m.end()), sending(cell.begin(), cell.end());
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
  lighting.uneven.clear();
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
    } else {
      there[4] = even_part(j);
    }
    for (int k = 0; k < cells; ++k) {
      const int c = cells * j + k;
      double around = there[4];
      if (patch.window < 0) {
        const double s = (k % 4 - 1.5) / 4, t = (k / 4 - 1.5) / 4, x = std::abs(s), y = std::abs(t);
        const int i = s < 0 ? -1 : 1, r = t < 0 ? -3 : 3;
        around = (1 - x) * (1 - y) * there[4] + x * (1 - y) * there[4 + i] + (1 - x) * y * there[4 + r] + x * y * there[4 + i + r];
        // light that comes along a face falls off to nothing in the corner: between the middles of patches no straight line is that
        for (const Across& face : basis.corner_faces[j])
          around += row_times(face.e.data() + static_cast<std::size_t>(face.count) * k, means.data() + face.first, static_cast<std::size_t>(face.count)) - bounced[j] * face.even[k];
      }
      for (const Neighbour& near : basis.neighbours[j])
        around += row_times(near.sent->e.data() + cells * k, sending.data() + static_cast<std::size_t>(cells * near.from), cells) - bounced[j] * near.sent->even[k];
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

/// Solves the bounce between patches, and spreads it to their cells. What cells send to patches near by, beyond what the patches'
/// means would, is worked out from the cells' direct light, and again when their bounced light is known.
void bounce(const LightBasis& basis, const std::vector<double>& direct, Lighting& lighting) {
  const int n = basis.count();
  std::vector<double> mean(n, 0.0);
  for (int j = 0; j < n; ++j) {
    if (basis.patch[j].reflectance <= 0) continue;
    for (int c = cells * j; c < cells * (j + 1); ++c) mean[j] += basis.cell_share[c] * basis.cell_reflectance[c] * direct[c];
    mean[j] /= basis.patch[j].reflectance;
  }
  lighting.patch_exitance = exitances(basis, mean, 3e-7, lighting.balance);
  std::vector<double>& m = lighting.patch_exitance;
  std::vector<double> cell(cells * static_cast<std::size_t>(n), 0.0), known(n, 0.0);
  for (int j = 0; j < n; ++j)
    for (int c = cells * j; c < cells * (j + 1); ++c) cell[c] = std::max(0.0, m[j] + basis.cell_reflectance[c] * (direct[c] - mean[j]));
  for (int round = 0; round < 2; ++round) {
    std::vector<double> more = beyond_means(basis, cell, m);
    from_where_bright(basis, cell, m, more);
    for (int j = 0; j < n; ++j) {
      more[j] -= known[j];
      known[j] += more[j];
    }
    Balance unused;  // some hundredths of the light: a thousandth of it is enough
    const std::vector<double> change = exitances(basis, more, 1e-3, unused);
    for (int j = 0; j < n; ++j) {
      const double before = m[j];
      m[j] = std::max(0.0, m[j] + change[j]);
      for (int c = cells * j; c < cells * (j + 1); ++c) cell[c] = std::max(0.0, cell[c] + m[j] - before);
    }
    spread(basis, direct, mean, cell, lighting);
    cell = lighting.cell_exitance;
  }
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
