// How visible a slope is to a view of the year: ln K between a few luminances, by the cubic through four of them (K bends by some
// percent from one to the next), of one view or of all at once.
#include <algorithm>
#include <cmath>

#include "assess/year_parts.h"

namespace rakelight {
namespace {

const double per_node = 1 / std::log(luminance_step);

/// Powers 0 … 3 of the cubic through k at −1.5, −0.5, 0.5, 1.5.
std::array<double, 4> powers(const float* k) {
  const double inner = 0.5 * (k[1] + k[2]), outer = 0.5 * (k[0] + k[3]), inner_slope = k[2] - k[1], outer_slope = (k[3] - k[0]) / 3.0;
  const double bend = 0.5 * (outer - inner), third = 0.5 * (outer_slope - inner_slope);
  return {inner - 0.25 * bend, inner_slope - 0.25 * third, bend, third};
}

}  // namespace

double visibility_of(const UnitVisibility& unit, const SlopeAnswer& answer) {
  if (answer.contrast <= 0) return 0;
  // (a float's logarithm and power do: V is known to a thousandth at best)
  const double octaves = std::log(static_cast<float>(answer.luminance / first_luminance));
  // below the filter's range V goes as the square root of luminance, as in sight
  if (octaves < 0) return answer.contrast * std::exp(static_cast<float>(unit.log_unit[0] + 0.5 * octaves));
  const double at = std::min(octaves * per_node, luminance_nodes - 1.0);
  const std::size_t window = std::min(static_cast<std::size_t>(std::max(at - 1, 0.0)), luminance_nodes - 4);
  const std::array<double, 4> p = powers(&unit.log_unit[window]);
  const double t = at - static_cast<double>(window) - 1.5;
  return answer.contrast * std::exp(static_cast<float>(p[0] + t * (p[1] + t * (p[2] + t * p[3]))));
}

VisibilityTable::VisibilityTable(const std::vector<SpotView>& views) {
  const Eigen::Index count = static_cast<Eigen::Index>(views.size());
  for (auto& window : power_)
    for (Eigen::ArrayXf& power : window) power.resize(count);
  for (Eigen::ArrayXf& log : log_exact_) log.resize(count);
  for (Eigen::Index v = 0; v < count; ++v) {
    const UnitVisibility& unit = views[static_cast<std::size_t>(v)].unit;
    for (std::size_t w = 0; w < windows; ++w) {
      const std::array<double, 4> p = powers(&unit.log_unit[w]);
      for (std::size_t i = 0; i < 4; ++i) power_[w][i][v] = static_cast<float>(p[i]);
    }
    for (std::size_t i = 0; i < held_places; ++i) log_exact_[i][v] = unit.log_exact[i];
  }
}

Eigen::ArrayXf VisibilityTable::cubic(std::size_t window, const Eigen::ArrayXf& node) const {
  const auto& p = power_[window];
  const Eigen::ArrayXf t = node - (static_cast<float>(window) + 1.5f);
  return p[0] + t * (p[1] + t * (p[2] + t * p[3]));
}

void VisibilityTable::find(const Eigen::ArrayXf& contrast, const Eigen::ArrayXf& luminance, const Eigen::ArrayXf& smooth, const std::array<double, held_places>& held, Eigen::ArrayXf& v) const {
  if (contrast.size() == 0) return;
  const Eigen::ArrayXf log = (luminance * static_cast<float>(1 / first_luminance)).log();
  const Eigen::ArrayXf node = (log * static_cast<float>(per_node)).max(0.0f).min(static_cast<float>(luminance_nodes - 1));
  const auto window_of = [](float n) { return std::min(static_cast<std::size_t>(std::max(n - 1, 0.0f)), windows - 1); };
  std::size_t window = window_of(node.minCoeff());
  const std::size_t last = window_of(node.maxCoeff());
  Eigen::ArrayXf k = cubic(window, node);
  while (window++ < last) k = (node >= static_cast<float>(window + 1)).select(cubic(window, node), k);
  Eigen::ArrayXf correction = static_cast<float>(held[0]) * log_exact_[0];
  for (std::size_t i = 1; i < held_places; ++i) correction += static_cast<float>(held[i]) * log_exact_[i];
  v = contrast * (k + (0.5f * log).min(0.0f) + smooth * correction).exp();
}

}  // namespace rakelight
