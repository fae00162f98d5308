#include "assess/hands.h"

#include <algorithm>
#include <cmath>
#include <optional>

#include "base/quadrature.h"
#include "sight/sums.h"

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
  // where no contrast reaches 1, where the eye clips it, what a figure adds is seen in proportion
  std::vector<std::vector<double>> parts{pattern.contrast};
  for (const auto& part : pattern.change) parts.push_back(part.empty() ? std::vector<double>(pattern.contrast.size(), 0.0) : part);
  std::optional<PatternSums> sums;
  const auto clipped = [&](const std::array<double, 4>& change) {
    for (std::size_t i = 0; i < pattern.contrast.size(); ++i) {
      double c = parts[0][i];
      for (std::size_t f = 0; f < change.size(); ++f) c += change[f] * parts[f + 1][i];
      if (std::abs(c * pattern.share) >= 1) return true;
    }
    return false;
  };
  for (const auto& z : sets) {
    std::array<double, 4> change{};
    for (std::size_t f = 0; f < change.size(); ++f) change[f] = joint.sd[f] * z[f];
    // a ridge or a tape edge stands up or is not there
    auto& lap = change[static_cast<std::size_t>(Figure::lap_ridge)];
    auto& tape = change[static_cast<std::size_t>(Figure::tape_edge)];
    lap = std::max(lap, -joint.figures.lap_ridge);
    tape = std::max(tape, -joint.figures.tape_edge);
    if (!(pattern.luminance > 0) || clipped(change)) {
      spread.push_back(pattern_visibility(pattern, change));
      continue;
    }
    if (!sums) sums.emplace(parts, pattern.degrees_per_sample, pattern.luminance, pattern.length_deg, pattern.grain);
    const double s = pattern.share;
    spread.push_back(sums->visibility({s, s * change[0], s * change[1], s * change[2], s * change[3]}));
  }
  std::sort(spread.begin(), spread.end());
  return spread;
}

}  // namespace rakelight
