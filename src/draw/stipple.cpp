#include "draw/stipple.h"

#include <cmath>
#include <numbers>

#include "base/random.h"
#include "base/units.h"
#include "kernel/scene.h"
#include "kernel/stipple.h"

namespace rakelight {

const std::vector<dvec4>& stipple_waves() {
  static const std::vector<dvec4> waves = [] {
    const int pairs = kernel::StippleKernels().stipple_waves() / 2;
    // squares of frequencies: means of an exponential distribution's quantiles, of equal share
    const auto beyond = [](double share) { return share > 0 ? share * (1 - std::log(share)) : 0.0; };
    Random random(20260621);
    std::vector<dvec4> all;
    for (int i = 0; i < pairs; ++i) {
      const double frequency = std::sqrt(pairs * (beyond(1 - static_cast<double>(i) / pairs) - beyond(1 - (i + 1.0) / pairs)));
      // directions by the golden section, so that neighbours in frequency run apart; each with one square to it, so that no axis is favoured
      const double direction = 2 * pi * std::numbers::phi * i;
      for (const double turn : {0.0, 0.5 * pi})
        all.emplace_back(frequency * std::cos(direction + turn), frequency * std::sin(direction + turn), random.uniform(), 0);
    }
    return all;
  }();
  return waves;
}

bool has_stipple(const std::vector<dvec4>& rows) {
  if (rows.empty()) return false;
  kernel::SceneKernels k{rows.data()};
  for (int surface = 0; surface < k.surface_count(); ++surface)
    if (k.surface_stipple(surface, 0).x > 0) return true;
  return false;
}

double steepest_stipple(const std::vector<dvec4>& rows, int surface) {
  kernel::SceneKernels k{rows.data()};
  double sum = 0;
  for (int which = 0; which < 3; ++which) {
    const dvec2 s = k.surface_stipple(surface, which);
    if (s.x > 0) sum += std::pow(std::numbers::sqrt2 * pi * s.x / s.y, 2);
  }
  return 4 * std::sqrt(sum);
}

}  // namespace rakelight
