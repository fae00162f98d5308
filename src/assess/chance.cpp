// The chance that a joint shows, over what hands do and over what is not known of eyes.
#include <algorithm>
#include <cmath>

#include "assess/assess.h"
#include "base/quadrature.h"

namespace rakelight {
namespace {

double gain_sd(const GainSpread& gain) { return 0.5 * std::log(gain.band); }

// Share of `spread` that reaches `limit`.
double share_over(const std::vector<double>& spread, double limit) {
  if (spread.empty()) return 0;
  const auto it = std::lower_bound(spread.begin(), spread.end(), limit);
  return static_cast<double>(spread.end() - it) / static_cast<double>(spread.size());
}

}  // namespace

double chance_over(const std::vector<double>& spread, const GainSpread& gain, double limit) {
  if (spread.empty()) return 0;
  const double sd = gain_sd(gain);
  double sum = 0;
  for (const double v : spread) {
    const double expected = gain.gain * v;
    if (sd == 0) sum += expected >= limit ? 1 : 0;
    else if (expected > 0) sum += normal_cdf(std::log(expected / limit) / sd);
  }
  return sum / static_cast<double>(spread.size());
}

double chance_any_over(const std::vector<const std::vector<double>*>& spreads, const GainSpread& gain, double limit) {
  const double sd = gain_sd(gain);
  const auto any_at = [&](double g) {
    double none = 1;
    for (const auto* spread : spreads) none *= 1 - share_over(*spread, limit / g);
    return 1 - none;
  };
  if (sd == 0) return any_at(gain.gain);
  if (spreads.size() == 1) return chance_over(*spreads[0], gain, limit);
  // the shares are steps in g, so many even slices of the normal do better than few clever nodes; ±4 sd leave 6e-5
  constexpr int slices = 200;
  double sum = 0;
  for (int i = 0; i < slices; ++i) {
    const double lo = -4 + 8.0 * i / slices, hi = lo + 8.0 / slices;
    sum += (normal_cdf(hi) - normal_cdf(lo)) * any_at(gain.gain * std::exp(sd * 0.5 * (lo + hi)));
  }
  return sum;
}

}  // namespace rakelight
