// How much of each patch's light lands on each other patch.
#include <algorithm>
#include <cmath>

#include "base/quadrature.h"
#include "base/wide.h"
#include "light/alike.h"
#include "light/gather.h"
#include "light/parallel.h"

namespace rakelight {
namespace {

constexpr double gauss_offset = 0.28867513459481287;  // 1 / (2 sqrt 3): two Gauss nodes on a side of 1

bool any_in_front(const Patch& of, const Patch& other) {
  const dvec3 c = other.corner - of.corner;
  const double base = glm::dot(c, of.n), du = glm::dot(other.u, of.n), dv = glm::dot(other.v, of.n);
  return base + std::max(du, 0.0) + std::max(dv, 0.0) > 1e-9;
}

/// Share of 2 × 2 by 2 × 2 point pairs that see each other.
double seen_share(const Room& room, const Patch& a, const Patch& b) {
  int seen = 0;
  for (int k = 0; k < 16; ++k) {
    const dvec3 p = a.corner + (k % 2 + 0.5) / 2 * a.u + (k / 2 % 2 + 0.5) / 2 * a.v;
    const dvec3 q = b.corner + (k / 4 % 2 + 0.5) / 2 * b.u + (k / 8 + 0.5) / 2 * b.v;
    seen += open_between(room, p, a.window, q, b.window);
  }
  return seen / 16.0;
}

/// Mean over k × k Gauss nodes of a of pi times the factor to b, seen through a hole or not.
double node_factor(const Room& room, const Patch& a, const Patch& b, int k, bool through_opening) {
  const auto& nodes = gauss_nodes(k);
  std::array<dvec3, 4> corners;
  if (through_opening) corners = opening_corners(room, b.window);
  double sum = 0;
  for (const Node& j : nodes)
    for (const Node& i : nodes) {
      const dvec3 p = a.corner + i.x * a.u + j.x * a.v;
      Hole hole;
      if (through_opening) hole = hole_from(p, corners);
      sum += i.weight * j.weight *
             glm::dot(a.n, patch_vector(p, &a.n, b.corner, b.u, b.v, b.n, through_opening ? &hole : nullptr));
    }
  return sum;
}

/// Nodes on each side of patch a of a face for its factor to part b of a recess: more where the opening's edge parts what is seen.
int nodes_at_opening(const Room& room, const Patch& a, const Patch& b) {
  const dvec3 r = b.centre() - a.centre();
  const double d2 = glm::dot(r, r), size2 = glm::dot(a.u, a.u);
  if (d2 > 144 * size2) return 1;
  int seen = 0;
  for (int k = 0; k < 16; ++k)
    seen += open_between(room, a.corner + (0.02 + 0.96 * (k % 2)) * a.u + (0.02 + 0.96 * (k / 2 % 2)) * a.v, a.window,
                         b.corner + (0.02 + 0.96 * (k / 4 % 2)) * b.u + (0.02 + 0.96 * (k / 8)) * b.v, b.window);
  if (seen == 0 || seen == 16) return d2 > 36 * size2 ? 1 : 2;
  return 3;
}

/// A_a F_ab of two patches of faces with nothing between them, m²; `share`: of b that is there.
double open_exchange(const Room& room, const Patch& a, const Patch& b, double share) {
  if (!any_in_front(a, b) || !any_in_front(b, a)) return 0;
  const double area = a.area * share;
  const double size2 = std::max({glm::dot(a.u, a.u), glm::dot(a.v, a.v), glm::dot(b.u, b.u), glm::dot(b.v, b.v)});
  const dvec3 r = b.centre() - a.centre();
  const double d2 = glm::dot(r, r);
  if (room.convex && a.window < 0 && d2 > 9 * size2) {
    if (d2 > 100 * size2) {  // one point each
      const double cosines = glm::dot(r, a.n) * -glm::dot(r, b.n);
      return cosines > 0 ? area * b.area / share / pi * cosines / (d2 * d2) : 0;
    }
    double sum = 0;
    for (int k = 0; k < 4; ++k) {
      const double s = k % 2 == 0 ? -gauss_offset : gauss_offset, t = k < 2 ? -gauss_offset : gauss_offset;
      sum += 0.25 * glm::dot(a.n, far_patch_vector(a.centre() + s * a.u + t * a.v, b.corner, b.u, b.v, b.n, d2 > 25 * size2 ? 1 : 2));
    }
    return std::max(0.0, area / pi * sum);
  }
  // only patches that touch or nearly do need the adaptive rule
  if (d2 < 2.6 * size2) return area * form_factor(a, b, 1e-5);
  return area / pi * node_factor(room, a, b, 3, false);
}

/// A_a F_ab = A_b F_ba, m².
double exchange_of(const Room& room, const LightBasis& basis, int ia, int ib) {
  if (basis.patch[ia].window >= 0 && basis.patch[ib].window < 0) std::swap(ia, ib);
  const Patch &a = basis.patch[ia], &b = basis.patch[ib];
  if (a.area <= 0 || b.area <= 0 || (a.surface >= 0 && a.surface == b.surface)) return 0;
  if (b.window >= 0 && a.window < 0) {
    if (!any_in_front(a, b) || !any_in_front(b, a)) return 0;
    if (room.surfaces[room.windows[b.window].surface].frame.height_of(a.centre()) <= 1e-9) return 0;
    const double seen = room.convex ? 1 : seen_share(room, a, b);
    if (seen <= 0) return 0;
    return seen * (a.area * basis.coverage[ib]) / pi * node_factor(room, a, b, nodes_at_opening(room, a, b), true);
  }
  const bool one_recess = a.window >= 0 && a.window == b.window;
  double seen = 1;
  if (!one_recess && (!room.convex || a.window >= 0)) {
    if (!any_in_front(a, b) || !any_in_front(b, a)) return 0;
    seen = seen_share(room, a, b);
  }
  return seen <= 0 ? 0 : seen * open_exchange(room, a, b, basis.coverage[ib]);
}

/// Entries of the matrix above its diagonal between the patches of two faces, the first's before the second's: whole ones by the
/// kind of their pair.
class FacesExchange {
 public:
  FacesExchange(const Room& room, const LightBasis& basis, int a, int b) : room_(room), basis_(basis), a_(a), b_(b), alike_(room, basis, a, b) {
    // few save nothing
    if (room.convex && 2 * alike_.count() < patches_of(a) * patches_of(b)) value_.resize(alike_.count());
  }
  std::size_t kinds() const { return value_.size(); }
  void work_out(std::size_t kind) {
    const AlikePairs::Pair pair = alike_.example(kind);
    value_[kind] = static_cast<float>(open_exchange(room_, pair.a, pair.b, 1));
  }
  /// Of patch i of the first face, counted from its grid's first, with all of the second.
  void fill(std::size_t i, float* row) const {
    const int from_a = basis_.grid[static_cast<std::size_t>(a_)].first + static_cast<int>(i), first = basis_.grid[static_cast<std::size_t>(b_)].first;
    const bool shared = !value_.empty() && basis_.whole[static_cast<std::size_t>(from_a)];
    for (std::size_t j = 0; j < patches_of(b_); ++j) {
      const int to = first + static_cast<int>(j);
      row[j] = shared && basis_.whole[static_cast<std::size_t>(to)] ? value_[alike_.kind(i, j)] : static_cast<float>(exchange_of(room_, basis_, from_a, to));
    }
  }

 private:
  std::size_t patches_of(int face) const {
    const PatchGrid& grid = basis_.grid[static_cast<std::size_t>(face)];
    return static_cast<std::size_t>(grid.nx) * static_cast<std::size_t>(grid.ny);
  }
  const Room& room_;
  const LightBasis& basis_;
  int a_, b_;
  AlikePairs alike_;
  std::vector<float> value_;
};

/// The matrix above its diagonal, each entry written once; the diagonal is 0.
void fill_above(const Room& room, LightBasis& basis, float* s) {
  const int n = basis.count(), faces = static_cast<int>(basis.grid.size());
  std::vector<std::vector<FacesExchange>> between(static_cast<std::size_t>(faces));  // of a face with those after it
  struct Kinds { FacesExchange* of; std::size_t from, to; };
  std::vector<Kinds> tasks;
  for (int a = 0; a < faces; ++a)
    for (int b = a + 1; b < faces; ++b) between[static_cast<std::size_t>(a)].emplace_back(room, basis, a, b);
  constexpr std::size_t at_once = 256;
  for (auto& row : between)
    for (FacesExchange& pair : row)
      for (std::size_t from = 0; from < pair.kinds(); from += at_once) tasks.push_back({&pair, from, std::min(pair.kinds(), from + at_once)});
  for_each_index(static_cast<int>(tasks.size()), [&](int t) {
    const Kinds& task = tasks[static_cast<std::size_t>(t)];
    for (std::size_t kind = task.from; kind < task.to; ++kind) task.of->work_out(kind);
  });
  for_each_index(n, [&](int i) {
    float* row = s + static_cast<std::size_t>(i) * static_cast<std::size_t>(n);
    int j = i;
    if (const int face = basis.patch[i].surface; face >= 0) {
      const PatchGrid& own = basis.grid[static_cast<std::size_t>(face)];
      const int end = own.first + own.nx * own.ny;
      for (; j < end; ++j) row[j] = 0;
      for (std::size_t b = 0; b < between[static_cast<std::size_t>(face)].size(); ++b) {
        const PatchGrid& other = basis.grid[static_cast<std::size_t>(face) + 1 + b];
        between[static_cast<std::size_t>(face)][b].fill(static_cast<std::size_t>(i - own.first), row + other.first);
        j = other.first + other.nx * other.ny;
      }
    } else {
      row[j++] = 0;
    }
    for (; j < n; ++j) row[j] = static_cast<float>(exchange_of(room, basis, i, j));
  });
}

}  // namespace

double row_times(const float* row, const std::vector<float>& x) { return row_times(row, x.data(), x.size()); }

RAKELIGHT_WIDE double row_times(const float* row, const float* x, std::size_t count) {
  constexpr std::size_t block = 64, eight = 8;
  Four first{}, last{};
  std::size_t j = 0;
  while (count - j >= eight) {
    // two: an addition takes longer than to begin the next
    EightFloats a{}, b{}, left, right;
    const std::size_t end = std::min(count, j + block);
    for (; j + 2 * eight <= end; j += 2 * eight) {
      load(left, row + j);
      load(right, x + j);
      a += left * right;
      load(left, row + j + eight);
      load(right, x + j + eight);
      b += left * right;
    }
    if (j + eight <= end) {
      load(left, row + j);
      load(right, x + j);
      a += left * right;
      j += eight;
    }
    add_halves(first, last, a + b);
  }
  float rest = 0;
  for (; j < count; ++j) rest += row[j] * x[j];
  return sum_of(first + last) + static_cast<double>(rest);
}

void make_exchange(const Room& room, LightBasis& basis) {
  const std::size_t n = basis.patch.size();
  basis.exchange.resize(n * n);
  float* s = basis.exchange.data();
  fill_above(room, basis, s);
  // mirrored in blocks of rows, each by the thread that owns the rows it lands in
  constexpr std::size_t block = 32;
  for_each_index(static_cast<int>((n + block - 1) / block), [&](int k) {
    const std::size_t first = static_cast<std::size_t>(k) * block, last = std::min(n, first + block);
    for (std::size_t i = 0; i < last; ++i)
      for (std::size_t j = std::max(first, i + 1); j < last; ++j) s[j * n + i] = s[i * n + j];
  });

  // Closure and reciprocity together: scale s_ij by d_i d_j until every row sums to its area. The power 0.62 in place of
  // the square root makes even and alternating errors (F's eigenvalues from -0.5 to 1) shrink alike, by 0.7 or better a
  // round; from the 1 % of the far factors a dozen rounds or two bring them to 1e-5.
  std::vector<float> scale(n, 1.0f), next(n, 1.0f);
  std::vector<double> off(n, 0.0);
  for (int round = 0; round < 20; ++round) {
    for_each_index(static_cast<int>(n), [&](int i) {
      const double sum = scale[i] * row_times(s + i * n, scale);
      off[i] = sum > 0 ? std::abs(basis.patch[i].area / sum - 1) : 0;
      next[i] = sum > 0 ? static_cast<float>(scale[i] * std::pow(basis.patch[i].area / sum, 0.62)) : scale[i];
    });
    std::swap(scale, next);
    if (*std::max_element(off.begin(), off.end()) < 1e-5) break;
  }
  for_each_index(static_cast<int>(n), [&](int i) {
    const float own = scale[i];
    for (std::size_t j = 0; j < n; ++j) s[i * n + j] *= own * scale[j];
  });
}

}  // namespace rakelight
