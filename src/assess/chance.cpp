// The chance that a joint shows, over what hands do and over what is not known of eyes.
#include <algorithm>
#include <array>
#include <cmath>

#include "assess/assess.h"
#include "base/quadrature.h"

namespace rakelight {
namespace {

double gain_sd(const GainSpread& gain) { return 0.5 * std::log(gain.band); }

// Share of a spread that reaches `limit`.
double share_over(const ScaledSpread& s, double limit) {
  const auto it = std::partition_point(s.spread->begin(), s.spread->end(), [&](double v) { return v * s.by < limit; });
  return static_cast<double>(s.spread->end() - it) / static_cast<double>(s.spread->size());
}

constexpr double slices_reach = 4;  // standard deviations either side; 6e-5 are left out

struct Slice { double middle = 0, share = 0; };

// The shares are steps in the gain, so many even slices of the normal do better than few clever nodes.
const std::array<Slice, 200>& normal_slices() {
  static const std::array<Slice, 200> made = [] {
    std::array<Slice, 200> slices;
    for (std::size_t i = 0; i < slices.size(); ++i) {
      const double width = 2 * slices_reach / static_cast<double>(slices.size()), lo = -slices_reach + width * static_cast<double>(i), hi = lo + width;
      slices[i] = {0.5 * (lo + hi), normal_cdf(hi) - normal_cdf(lo)};
    }
    return slices;
  }();
  return made;
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

double chance_any_over_scaled(const std::vector<ScaledSpread>& spreads, const GainSpread& gain, double limit) {
  const double sd = gain_sd(gain);
  if (sd > 0 && spreads.size() == 1) return chance_over(*spreads[0].spread, {gain.gain * spreads[0].by, gain.band}, limit);
  // those that the sharpest eye still does not see take no part; the one of which the least is seen first decides for all
  std::vector<ScaledSpread> seen;
  double surest = 0;
  for (const ScaledSpread& s : spreads) {
    if (s.spread->empty() || s.most() * gain.gain * std::exp(sd * slices_reach) < limit) continue;
    seen.push_back(s);
    surest = std::max(surest, s.least());
  }
  const auto any_at = [&](double g) {
    const double needed = limit / g;
    if (surest >= needed) return 1.0;
    double none = 1;
    for (const ScaledSpread& s : seen)
      if (s.most() >= needed) none *= 1 - share_over(s, needed);
    return 1 - none;
  };
  if (sd == 0) return any_at(gain.gain);
  double sum = 0;
  for (const Slice& slice : normal_slices()) sum += slice.share * any_at(gain.gain * std::exp(sd * slice.middle));
  return sum;
}

double chance_any_over(const std::vector<const std::vector<double>*>& spreads, const GainSpread& gain, double limit) {
  std::vector<ScaledSpread> as_they_are;
  for (const auto* spread : spreads) as_they_are.push_back({spread, 1});
  return chance_any_over_scaled(as_they_are, gain, limit);
}

}  // namespace rakelight
