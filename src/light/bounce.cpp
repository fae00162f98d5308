// The bounce between patches and its spread over their cells, of one moment or of four or eight at once: `Each` holds a number of each.
#include "light/bounce.h"

#include <algorithm>
#include <array>
#include <cassert>
#include <cmath>
#include <numeric>

#include <Eigen/Core>

#include "base/wide.h"
#include "light/basis.h"
#include "light/eight.h"
#include "light/parallel.h"

namespace rakelight {
namespace {

template <int count> using Each = Eigen::Array<double, count, 1>;
template <int count> using EachFloat = Eigen::Array<float, count, 1>;
template <int count> using All = std::vector<Each<count>>;
template <int count> using AllFloat = std::vector<EachFloat<count>>;

/// Sum of row[j] x[j], as row_times has it: in float over blocks of 64, in double over blocks.
template <int rooms>
Each<rooms> row_times_each(const float* row, const EachFloat<rooms>* x, std::size_t count) {
  if constexpr (rooms == 1) {
    return Each<1>(row_times(row, x->data(), count));
  } else if constexpr (rooms == 4) {
    Each<4> sum = Each<4>::Zero();
    for (std::size_t first = 0; first < count; first += 64) {
      const std::size_t end = std::min(count, first + 64);
      EachFloat<4> a = EachFloat<4>::Zero(), b = a;  // two: an addition takes longer than to begin the next
      std::size_t j = first;
      for (; j + 2 <= end; j += 2) {
        a += row[j] * x[j];
        b += row[j + 1] * x[j + 1];
      }
      if (j < end) a += row[j] * x[j];
      sum += (a + b).cast<double>();
    }
    return sum;
  } else {
    static_assert(rooms == bounced_together && bounced_together == 8 && sizeof(EachFloat<rooms>) == rooms * sizeof(float));
    Each<rooms> sum;
    times_eight(row, x->data(), count, sum.data());
    return sum;
  }
}

/// Sums of row[j] x[j] for four columns that lie one after another, likewise.
RAKELIGHT_WIDE void times_four(const float* row, const float* x, std::size_t count, double* sum) {
  constexpr std::size_t block = 64, eight = 8;
  Four first[4]{}, last[4]{};
  std::size_t j = 0;
  while (count - j >= eight) {
    EightFloats a{}, b{}, c{}, d{}, left, right;
    for (const std::size_t end = std::min(count, j + block); j + eight <= end; j += eight) {
      load(left, row + j);
      load(right, x + j);
      a += left * right;
      load(right, x + count + j);
      b += left * right;
      load(right, x + 2 * count + j);
      c += left * right;
      load(right, x + 3 * count + j);
      d += left * right;
    }
    add_halves(first[0], last[0], a);
    add_halves(first[1], last[1], b);
    add_halves(first[2], last[2], c);
    add_halves(first[3], last[3], d);
  }
  for (std::size_t k = 0; k < 4; ++k) {
    sum[k] = sum_of(first[k] + last[k]);
    for (std::size_t i = j; i < count; ++i) sum[k] += static_cast<double>(row[i] * x[k * count + i]);
  }
}

/// Exitances B = rho (E0 + F B). With y = sqrt(A / rho) B the system is symmetric and positive definite, and conjugate
/// gradients (Hestenes & Stiefel 1952) need about ten products to get from 1 to 1e-6, where products in float end. They
/// stop when the residual is `least` of the first in every room.
template <int rooms>
All<rooms> exitances(const LightBasis& basis, const All<rooms>& direct, double least, std::array<Balance, rooms>& balance) {
  using Number = Each<rooms>;
  const int n = basis.count();
  std::vector<double> half(n);
  All<rooms> y(n, Number::Zero()), r(n), p(n), image(n);
  AllFloat<rooms> q(rooms == 4 ? 0 : n);
  std::vector<float> columns(rooms == 4 ? 4 * static_cast<std::size_t>(n) : 0);
  Number norm0 = Number::Zero();
  for (int i = 0; i < n; ++i) {
    const Patch& patch = basis.patch[i];
    half[i] = patch.area > 0 ? std::sqrt(patch.reflectance / patch.area) : 0;
    r[i] = std::sqrt(patch.area * patch.reflectance) * direct[i];
    norm0 += r[i] * r[i];
  }
  p = r;
  Number norm = norm0;
  balance.fill({});
  for (int step = 0; step < 200 && (norm > least * least * norm0).any(); ++step) {
    for (std::size_t k = 0; k < rooms; ++k)
      if (norm[k] > least * least * norm0[k]) balance[k].steps = step + 1;
    const std::size_t count = static_cast<std::size_t>(n);
    if constexpr (rooms == 4) {
      for (std::size_t k = 0; k < 4; ++k)
        for (std::size_t i = 0; i < count; ++i) columns[k * count + i] = static_cast<float>(half[i] * p[i][k]);
    } else {
      for (int i = 0; i < n; ++i) q[i] = (half[i] * p[i]).template cast<float>();
    }
    for_each_index(n, [&](int i) {
      const float* row = basis.exchange.data() + static_cast<std::size_t>(i) * count;
      Number lit;
      if constexpr (rooms == 4) times_four(row, columns.data(), count, lit.data());
      else lit = row_times_each<rooms>(row, q.data(), count);
      image[i] = p[i] - half[i] * lit;
    });
    Number along = Number::Zero();
    for (int i = 0; i < n; ++i) along += p[i] * image[i];
    const Number a = (along > 0).select(norm / along, 0.0);
    Number next = Number::Zero();
    for (int i = 0; i < n; ++i) {
      y[i] += a * p[i];
      r[i] -= a * image[i];
      next += r[i] * r[i];
    }
    const Number b = (norm > 0).select(next / norm, 0.0);
    for (int i = 0; i < n; ++i) p[i] = r[i] + b * p[i];
    norm = next;
  }
  for (std::size_t k = 0; k < rooms; ++k) balance[k].residual = norm0[k] > 0 ? std::sqrt(norm[k] / norm0[k]) : 0;
  for (int i = 0; i < n; ++i) y[i] *= half[i];
  return y;
}

/// Exitances of cells, and the means of their patches.
template <int rooms>
struct Cells { const All<rooms>&cell, &mean; };

/// Light on each patch, lx, because neighbours across a corner and recesses near by do not send evenly: exitances of cells
/// against the patches' means. A wall that is bright at its foot only lights the ceiling less than its mean would; what
/// patches near by miss lands on all others, by their exchange.
template <int rooms>
All<rooms> beyond_means(const LightBasis& basis, const Cells<rooms>& of) {
  using Number = Each<rooms>;
  const std::size_t n = of.mean.size();
  All<rooms> more(n, Number::Zero()), taken(n, Number::Zero());
  AllFloat<rooms> excess(cells * n), share(n, EachFloat<rooms>::Zero());
  std::vector<char> uneven(n, 0);
  for (std::size_t b = 0; b < n; ++b)
    for (std::size_t c = cells * b; c < cells * (b + 1); ++c) {
      excess[c] = (of.cell[c] - of.mean[b]).template cast<float>();
      if ((excess[c] != 0.0f).any()) uneven[b] = 1;
    }
  std::vector<double> nearby(n, 0.0);
  for (std::size_t a = 0; a < n; ++a) {
    const auto add = [&](int from, const std::array<float, cells>& mean) {
      const std::size_t b = static_cast<std::size_t>(from);
      if (!uneven[b]) return;
      const Number sum = row_times_each<rooms>(mean.data(), &excess[cells * b], cells);
      more[a] += sum;
      taken[b] += basis.patch[a].area * sum;
      nearby[b] += basis.exchange[b * n + a];
    };
    for (const Neighbour& near : basis.neighbours[a]) add(near.from, near.sent->mean);
    for (const FromRecess& near : basis.recesses[a]) add(near.from, near.mean);
  }
  bool any = false;
  for (std::size_t b = 0; b < n; ++b) {
    const double rest = basis.patch[b].area - nearby[b];
    if ((taken[b] == 0).all() || rest <= 0.05 * basis.patch[b].area) continue;
    any = true;
    const float* row = basis.exchange.data() + b * n;
    const Number sent = taken[b] / rest;
    share[b] = sent.template cast<float>();
    for (const int a : basis.lit_by_cells[b]) more[static_cast<std::size_t>(a)] += sent * (row[a] / basis.patch[static_cast<std::size_t>(a)].area);
  }
  if (any)
    for_each_index(static_cast<int>(n), [&](int i) {
      const auto j = static_cast<std::size_t>(i);
      if (basis.patch[j].area > 0) more[j] -= row_times_each<rooms>(basis.exchange.data() + j * n, share.data(), n) / basis.patch[j].area;
    });
  return more;
}

/// Light on each patch, lx, because uneven patches send from where they are bright. A patch of which the sun lights the lower
/// third stands that much lower for all that are not its neighbours, whatever it sends in all. Adds to `more`.
template <int rooms>
void from_where_bright(const LightBasis& basis, const Cells<rooms>& of, All<rooms>& more) {
  using Number = Each<rooms>;
  using Float = EachFloat<rooms>;
  const std::size_t n = of.mean.size();
  Number flux = Number::Zero();
  double area = 0;
  for (std::size_t j = 0; j < n; ++j) {
    flux += basis.patch[j].area * of.mean[j];
    area += basis.patch[j].area;
  }
  const Number least = 0.2 * flux / area;
  struct Bright {
    std::size_t j;
    std::array<Number, 3> off;
    Number moved, after = Number::Zero();
    double before = 0;
  };
  std::vector<Bright> bright;
  for (std::size_t j = 0; j < n; ++j) {
    const Patch& patch = basis.patch[j];
    const Number& mean = of.mean[j];
    if (patch.window >= 0 || patch.area <= 0 || (mean < least || mean <= 0).all()) continue;
    std::array<Number, 3> off{Number::Zero(), Number::Zero(), Number::Zero()};
    for (int k = 0; k < cells; ++k) {
      const dvec3 centre = basis.cell_centre(static_cast<int>(j), k) - basis.far[j].centre;
      const Number excess = static_cast<double>(basis.cell_share[cells * j + k]) * (of.cell[cells * j + k] - mean);
      for (std::size_t d = 0; d < 3; ++d) off[d] += excess * centre[static_cast<int>(d)];
    }
    for (Number& o : off) o = (mean > 0).select(o / mean, 0.0);
    const Number off2 = off[0] * off[0] + off[1] * off[1] + off[2] * off[2];
    // a thirtieth of its side
    const Number moved = (mean >= least && mean > 0 && off2 >= 1e-3 * basis.far[j].size2).select(Number(mean), 0.0);
    if ((moved != 0).any()) bright.push_back({j, off, moved});
  }
  // what a bright patch sends to each of all, some bright ones at a time; none: nothing, or as a neighbour
  constexpr std::size_t at_once = 32, patches_at_once = 64;
  constexpr float none = -1;
  AllFloat<rooms> share(std::min(at_once, bright.size()) * n);
  for (std::size_t first = 0; first < bright.size(); first += at_once) {
    const std::size_t count = std::min(at_once, bright.size() - first);
    for_each_index(static_cast<int>(count), [&](int i) {
      Bright& b = bright[first + static_cast<std::size_t>(i)];
      const FarPatch& far = basis.far[b.j];
      const float* row = basis.exchange.data() + b.j * n;
      std::vector<char> neighbour(n, 0);
      for (const int a : basis.lit_by_cells[b.j]) neighbour[static_cast<std::size_t>(a)] = 1;
      const Float to_x = (far.centre.x + b.off[0]).template cast<float>(), to_y = (far.centre.y + b.off[1]).template cast<float>(), to_z = (far.centre.z + b.off[2]).template cast<float>();
      const auto f = [](double x) { return static_cast<float>(x); };
      for (std::size_t a = 0; a < n; ++a) {
        Float& sent = share[static_cast<std::size_t>(i) * n + a];
        if (row[a] <= 0 || neighbour[a]) {
          sent[0] = none;
          continue;
        }
        const FarPatch& at = basis.far[a];
        const dvec3 r = at.centre - far.centre;
        const double d2 = glm::dot(r, r), middle = std::max(0.0, glm::dot(r, far.n)) * std::max(0.0, -glm::dot(r, at.n)) / (d2 * d2);
        sent = Float::Constant(row[a]);
        if (middle > 0) {
          const Float x = f(at.centre.x) - to_x, y = f(at.centre.y) - to_y, z = f(at.centre.z) - to_z, distance2 = x * x + y * y + z * z;
          const Float over = (x * f(far.n.x) + y * f(far.n.y) + z * f(far.n.z)).max(0.0f), under = (-(x * f(at.n.x) + y * f(at.n.y) + z * f(at.n.z))).max(0.0f);
          sent *= (over * under / (distance2 * distance2 * f(middle))).max(0.3f).min(3.0f);
        }
        b.before += row[a];
        b.after += sent.template cast<double>();
      }
    });
    for_each_index(static_cast<int>((n + patches_at_once - 1) / patches_at_once), [&](int block) {
      const std::size_t from = static_cast<std::size_t>(block) * patches_at_once, end = std::min(n, from + patches_at_once);
      for (std::size_t i = 0; i < count; ++i) {
        const Bright& b = bright[first + i];
        const float* row = basis.exchange.data() + b.j * n;
        const Number even = (b.after > 0).select(b.before / b.after, 0.0), sends = (b.after > 0).select(b.moved, 0.0);
        for (std::size_t a = from; a < end; ++a)
          if (const Float& sent = share[i * n + a]; sent[0] >= 0) more[a] += sends * (sent.template cast<double>() * even - row[a]) / basis.patch[a].area;
      }
    });
  }
}

/// Spreads the patches' bounced light to their cells. Each cell has its own direct light (`direct`, of which the patches have
/// `mean`) and what cells across a corner send to it, taken from exitances `cell`; all other bounced light is taken linearly
/// between the middles of patches; and the mean of every patch, `m`, stays. Sets `cell`, and the lightings' uneven patches.
template <int rooms>
void spread(const LightBasis& basis, const All<rooms>& direct, const All<rooms>& mean, const All<rooms>& m, All<rooms>& cell, std::span<Lighting> lightings) {
  using Number = Each<rooms>;
  const int n = basis.count();
  All<rooms> bounced(n, Number::Zero());
  AllFloat<rooms> means(n), sending(cell.size());
  Number flux = Number::Zero();
  double area = 0;
  for (int j = 0; j < n; ++j) {
    const Patch& patch = basis.patch[j];
    if (patch.area > 0 && patch.reflectance > 0) bounced[j] = m[j] / patch.reflectance - mean[j];
    means[j] = m[j].template cast<float>();
    flux += patch.area * m[j];
    area += patch.area;
  }
  for (std::size_t c = 0; c < cell.size(); ++c) sending[c] = cell[c].template cast<float>();
  // a patch and those about it, row by row; of a recess itself alone
  const auto about = [&](int j, int q) {
    if (basis.patch[j].window >= 0) return j;
    const PatchGrid& grid = basis.grid[basis.patch[j].surface];
    const int column = (j - grid.first) % grid.nx, row = (j - grid.first) / grid.nx;
    const int other = grid.first + std::clamp(row + q / 3 - 1, 0, grid.ny - 1) * grid.nx + std::clamp(column + q % 3 - 1, 0, grid.nx - 1);
    return basis.patch[other].area > 0 ? other : j;
  };
  // what each face sends to every patch that asks, and what it would send at exitance 1
  struct FromFace { Number e; double even = 0; bool asked = false; };
  std::vector<FromFace> from_face(static_cast<std::size_t>(n) * basis.grid.size());
  const auto sent = [&](int i, const Across& face) -> FromFace& {
    return from_face[static_cast<std::size_t>(i) * basis.grid.size() + static_cast<std::size_t>(basis.patch[face.first].surface)];
  };
  for (int j = 0; j < n; ++j)
    for (const Across& face : basis.corner_faces[j])
      for (int q = 0; q < 9; ++q) sent(about(j, q), face).asked = true;
  for_each_index(n, [&](int i) {
    for (const PatchGrid& grid : basis.grid) {
      FromFace& from = from_face[static_cast<std::size_t>(i) * basis.grid.size() + static_cast<std::size_t>(&grid - basis.grid.data())];
      if (!from.asked) continue;
      const float* row = basis.exchange.data() + static_cast<std::size_t>(i) * n + grid.first;
      const int count = grid.nx * grid.ny;
      from.e = row_times_each<rooms>(row, means.data() + grid.first, static_cast<std::size_t>(count));
      from.even = std::accumulate(row, row + count, 0.0);
    }
  });
  All<rooms> uneven_by(n, Number::Zero());
  for_each_index(n, [&](int j) {
    const Patch& patch = basis.patch[j];
    if (patch.area <= 0) {
      for (int c = cells * j; c < cells * (j + 1); ++c) cell[c].setZero();
      return;
    }
    std::array<Number, cells> own;
    Number sum = Number::Zero();
    const auto is_across = [&](int from) {
      return std::any_of(basis.corner_faces[j].begin(), basis.corner_faces[j].end(), [&](const Across& a) { return from >= a.first && from < a.first + a.count; });
    };
    // bounced light at patch i less what faces and neighbours across j's corners send there beyond the light around, which
    // is what all else would send in their place
    const auto even_part = [&](int i) {
      const float* row = basis.exchange.data() + static_cast<std::size_t>(i) * n;
      Number e = bounced[i];
      for (const Neighbour& near : basis.neighbours[j])
        if (!is_across(near.from)) e -= row[near.from] / basis.patch[i].area * (m[near.from] - bounced[j]);
      for (const Across& face : basis.corner_faces[j]) {
        const FromFace& from = sent(i, face);
        e -= (from.e - bounced[j] * from.even) / basis.patch[i].area;
      }
      return e;
    };
    std::array<Number, 9> there;
    if (patch.window < 0)
      for (int q = 0; q < 9; ++q) there[q] = even_part(about(j, q));
    else there[4] = even_part(j);
    for (int k = 0; k < cells; ++k) {
      const int c = cells * j + k;
      Number around = there[4];
      if (patch.window < 0) {
        const double s = (k % 4 - 1.5) / 4, t = (k / 4 - 1.5) / 4, x = std::abs(s), y = std::abs(t);
        const int i = s < 0 ? -1 : 1, r = t < 0 ? -3 : 3;
        around = (1 - x) * (1 - y) * there[4] + x * (1 - y) * there[4 + i] + (1 - x) * y * there[4 + r] + x * y * there[4 + i + r];
        // light that comes along a face falls off to nothing in the corner: between the middles of patches no straight line is that
        for (const Across& face : basis.corner_faces[j])
          around += row_times_each<rooms>(face.e + static_cast<std::size_t>(face.count) * k, means.data() + face.first, static_cast<std::size_t>(face.count)) - bounced[j] * face.even[k];
      }
      for (const Neighbour& near : basis.neighbours[j])
        around += row_times_each<rooms>(near.sent->e.data() + cells * k, sending.data() + static_cast<std::size_t>(cells * near.from), cells) - bounced[j] * static_cast<double>(near.sent->even[k]);
      own[k] = static_cast<double>(basis.cell_reflectance[c]) * (direct[c] + around);
      sum += static_cast<double>(basis.cell_share[c]) * own[k];
    }
    Number& off = uneven_by[j];
    for (int k = 0; k < cells; ++k) {
      const int c = cells * j + k;
      cell[c] = (own[k] + m[j] - sum).max(0.0);
      if (basis.cell_share[c] > 0) off = off.max((cell[c] - m[j]).abs());
    }
  });
  // told from afar, a patch 2.5 of its sizes away whose halves differ by this much moves the light by a thousandth
  const Number even = 0.2 * flux / area;
  for (std::size_t r = 0; r < lightings.size(); ++r) {
    lightings[r].uneven.clear();
    for (int j = 0; j < n; ++j)
      if (uneven_by[j][r] > even[r]) lightings[r].uneven.push_back(j);
  }
}

/// Solves the bounce between patches, and spreads it to their cells. What cells send to patches near by, beyond what the patches'
/// means would, is worked out from the cells' direct light, and again when their bounced light is known. There may be fewer lightings.
template <int rooms>
void bounce_each(const LightBasis& basis, std::span<const std::vector<double>> given, std::span<Lighting> lightings, double left_over) {
  using Number = Each<rooms>;
  const int n = basis.count();
  All<rooms> direct(cells * static_cast<std::size_t>(n), Number::Zero()), mean(n, Number::Zero()), cell(direct.size()), known(n, Number::Zero());
  for (std::size_t r = 0; r < given.size(); ++r)
    for (std::size_t c = 0; c < direct.size(); ++c) direct[c][r] = given[r][c];
  for (int j = 0; j < n; ++j) {
    if (basis.patch[j].reflectance <= 0) continue;
    for (int c = cells * j; c < cells * (j + 1); ++c) mean[j] += static_cast<double>(basis.cell_share[c]) * static_cast<double>(basis.cell_reflectance[c]) * direct[c];
    mean[j] /= basis.patch[j].reflectance;
  }
  std::array<Balance, rooms> balance;
  All<rooms> m = exitances<rooms>(basis, mean, left_over, balance);
  for (int j = 0; j < n; ++j)
    for (int c = cells * j; c < cells * (j + 1); ++c) cell[c] = (m[j] + static_cast<double>(basis.cell_reflectance[c]) * (direct[c] - mean[j])).max(0.0);
  for (int round = 0; round < 2; ++round) {
    const Cells<rooms> now{cell, m};
    All<rooms> more = beyond_means<rooms>(basis, now);
    from_where_bright<rooms>(basis, now, more);
    for (int j = 0; j < n; ++j) {
      more[j] -= known[j];
      known[j] += more[j];
    }
    std::array<Balance, rooms> unused;  // some hundredths of the light: a thousandth of it is enough
    const All<rooms> change = exitances<rooms>(basis, more, 1e-3, unused);
    for (int j = 0; j < n; ++j) {
      const Number before = m[j];
      m[j] = (m[j] + change[j]).max(0.0);
      for (int c = cells * j; c < cells * (j + 1); ++c) cell[c] = (cell[c] + m[j] - before).max(0.0);
    }
    spread<rooms>(basis, direct, mean, m, cell, lightings);
  }
  for (std::size_t r = 0; r < lightings.size(); ++r) {
    Lighting& lighting = lightings[r];
    lighting.balance = balance[r];
    lighting.patch_exitance.resize(m.size());
    lighting.cell_exitance.resize(cell.size());
    for (std::size_t j = 0; j < m.size(); ++j) lighting.patch_exitance[j] = m[j][r];
    for (std::size_t c = 0; c < cell.size(); ++c) lighting.cell_exitance[c] = cell[c][r];
  }
}

}  // namespace

void bounce(const LightBasis& basis, std::span<const std::vector<double>> direct, std::span<Lighting> lightings, double left_over) {
  assert(direct.size() == lightings.size());
  for (std::size_t first = 0; first < lightings.size(); first += bounced_together) {
    const std::size_t count = std::min<std::size_t>(bounced_together, lightings.size() - first);
    if (count == 1) bounce_each<1>(basis, direct.subspan(first, 1), lightings.subspan(first, 1), left_over);
    else if (count <= 4) bounce_each<4>(basis, direct.subspan(first, count), lightings.subspan(first, count), left_over);
    else bounce_each<bounced_together>(basis, direct.subspan(first, count), lightings.subspan(first, count), left_over);
  }
}

}  // namespace rakelight
