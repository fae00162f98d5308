#include "base/quadrature.h"

#include <algorithm>
#include <array>
#include <cassert>
#include <cmath>
#include <mutex>
#include <numbers>

namespace rakelight {
namespace {

// Newton iteration on the Legendre polynomial from Tricomi's estimate of its zeros.
std::vector<Node> make_rule(int n) {
  std::vector<Node> rule(static_cast<std::size_t>(n));
  for (int i = 0; i < n; ++i) {
    double x = std::cos(std::numbers::pi * (i + 0.75) / (n + 0.5)), slope = 1;
    for (int step = 0; step < 100; ++step) {
      double p0 = 1, p1 = x;
      for (int k = 2; k <= n; ++k) {
        const double p2 = ((2.0 * k - 1.0) * x * p1 - (k - 1.0) * p0) / k;
        p0 = p1;
        p1 = p2;
      }
      if (n == 1) p0 = 1;
      slope = n * (x * p1 - p0) / (x * x - 1.0);
      const double change = p1 / slope;
      x -= change;
      if (std::abs(change) < 1e-15) break;
    }
    rule[static_cast<std::size_t>(n - 1 - i)] = {0.5 * (x + 1.0), 1.0 / ((1.0 - x * x) * slope * slope)};
  }
  return rule;
}

}  // namespace

const std::vector<Node>& gauss_nodes(int n) {
  assert(n >= 1 && n <= 64);
  struct Rule {
    std::once_flag made;
    std::vector<Node> nodes;
  };
  static std::array<Rule, 65> rules;
  Rule& rule = rules[static_cast<std::size_t>(n)];
  std::call_once(rule.made, [&] { rule.nodes = make_rule(n); });
  return rule.nodes;
}

double normal_cdf(double x) { return 0.5 * std::erfc(-x / std::numbers::sqrt2); }

}  // namespace rakelight
