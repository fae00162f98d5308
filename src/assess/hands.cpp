#include "assess/hands.h"

#include <algorithm>
#include <cmath>

#include "base/quadrature.h"

namespace rakelight {
namespace {

double normal_quantile(double p) {
  double low = -8, high = 8;
  for (int i = 0; i < 60; ++i) {
    const double middle = 0.5 * (low + high);
    (normal_cdf(middle) < p ? low : high) = middle;
  }
  return 0.5 * (low + high);
}

std::vector<std::array<double, 4>> normal_sets(int count) {
  // the positive root of x^5 = x + 1
  constexpr double golden = 1.1673039782614187;
  std::vector<std::array<double, 4>> sets;
  for (int i = 0; static_cast<int>(sets.size()) < count; ++i) {
    std::array<double, 4> z{}, mirrored{};
    double step = 1;
    for (std::size_t f = 0; f < z.size(); ++f) {
      step /= golden;
      const double u = 0.5 + (i + 1) * step;
      z[f] = normal_quantile(std::clamp(u - std::floor(u), 1e-9, 1 - 1e-9));
      mirrored[f] = -z[f];
    }
    sets.push_back(z);
    sets.push_back(mirrored);
  }
  return sets;
}

}  // namespace

std::vector<double> workmanship_spread(const AngularPattern& pattern, const PlacedJoint& joint, int count) {
  static const auto usual_sets = normal_sets(32);
  const auto sets = count == 32 ? usual_sets : normal_sets(count);
  std::vector<double> spread;
  for (const auto& z : sets) {
    std::array<double, 4> change{};
    for (std::size_t f = 0; f < change.size(); ++f) change[f] = joint.sd[f] * z[f];
    // a ridge or a tape edge stands up or is not there
    auto& lap = change[static_cast<std::size_t>(Figure::lap_ridge)];
    auto& tape = change[static_cast<std::size_t>(Figure::tape_edge)];
    lap = std::max(lap, -joint.figures.lap_ridge);
    tape = std::max(tape, -joint.figures.tape_edge);
    spread.push_back(pattern_visibility(pattern, change));
  }
  std::sort(spread.begin(), spread.end());
  return spread;
}

}  // namespace rakelight
