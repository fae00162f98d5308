// Polynomial interpolation on Chebyshev nodes, by the barycentric formula (Berrut & Trefethen 2004).
#pragma once
#include <array>
#include <cmath>
#include <cstddef>

#include "base/units.h"

namespace rakelight {

enum class Nodes { inside, with_ends };

/// Up to `most` nodes over [lo, hi]: of the first kind, or of the second with both ends, where 2n - 1 nodes hold every
/// one of n.
template <std::size_t most>
class Chebyshev {
 public:
  using Values = std::array<double, most>;
  Chebyshev() = default;
  Chebyshev(double lo, double hi, std::size_t count, Nodes nodes = Nodes::inside) : count_(count) {
    const bool ends = nodes == Nodes::with_ends;
    for (std::size_t i = 0; i < count; ++i) {
      const double turn = pi * (static_cast<double>(i) + (ends ? 0.0 : 0.5)) / static_cast<double>(ends ? count - 1 : count);
      node_[i] = 0.5 * (lo + hi) - 0.5 * (hi - lo) * std::cos(turn);
      share_[i] = (i % 2 == 0 ? 1 : -1) * (!ends ? std::sin(turn) : i == 0 || i + 1 == count ? 0.5 : 1.0);
    }
  }
  std::size_t count() const { return count_; }
  double node(std::size_t i) const { return node_[i]; }
  /// Weights of the nodes' values at x; they sum to 1.
  Values weights(double x) const {
    Values w{};
    double sum = 0;
    for (std::size_t i = 0; i < count_; ++i) {
      const double d = x - node_[i];
      if (d == 0) {
        w = {};
        w[i] = 1;
        return w;
      }
      w[i] = share_[i] / d;
      sum += w[i];
    }
    for (std::size_t i = 0; i < count_; ++i) w[i] /= sum;
    return w;
  }
  double mix(const Values& weights, const Values& values) const {
    double sum = 0;
    for (std::size_t i = 0; i < count_; ++i) sum += weights[i] * values[i];
    return sum;
  }

 private:
  std::size_t count_ = 0;
  Values node_{}, share_{};
};

}  // namespace rakelight
