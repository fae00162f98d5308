// Contrast sensitivity: Barten 1999 and the standard observer's filter that rests on it.
#include <algorithm>
#include <cassert>
#include <cmath>

#include "base/units.h"
#include "sight/sight.h"

namespace rakelight {
namespace {

// Watson & Ahumada 2005, "A standard model for foveal detection of spatial contrast", J. Vision 5(9):6: the
// difference of two hyperbolic secants fitted to ModelFest (gain, scales in cycles/degree, exponent).
constexpr double filter_gain = 373.08, filter_high = 4.1726, filter_low = 1.3625, filter_loss = 0.8493,
                 filter_power = 0.7786;
// A slow grating seen through the fixation aperture pools to this much of amplitude × filter.
constexpr double slow_pattern_pooling = 1.0110;
constexpr double modelfest_luminance = 30;

double sech(double x) { return 1.0 / std::cosh(std::min(x, 700.0)); }

double modelfest_filter(double u) {
  return filter_gain * (sech(std::pow(u / filter_high, filter_power)) - filter_loss * sech(u / filter_low));
}

}  // namespace

namespace {

constexpr double integration_time = 0.1;  // s

// What Barten's eye is made of at a luminance and in a field: blur of its optics, degrees, and photon noise, s degrees².
struct Eye {
  double blur = 0, photon_noise = 0;
  double optics(double u) const { return std::exp(-2.0 * pi * pi * blur * blur * u * u); }  // transfer
  double noise(double u) const {                                                            // photon and neural
    constexpr double neural_noise = 3e-8, inhibition = 7;
    const double lateral = -std::expm1(-(u / inhibition) * (u / inhibition));
    return photon_noise + neural_noise / lateral;
  }
};
Eye barten_eye(double luminance, double field_deg) {
  constexpr double quantum_efficiency = 0.03, blur_arcmin = 0.5, aberration_arcmin = 0.08, photons = 1.2274e6;
  const double pupil = 5.0 - 3.0 * std::tanh(0.4 * std::log10(luminance * field_deg * field_deg / 1600.0));
  const double stiles_crawford = 1.0 - std::pow(pupil / 9.7, 2) + std::pow(pupil / 12.4, 4);
  const double trolands = pi * pupil * pupil / 4.0 * luminance * stiles_crawford;
  return {std::hypot(blur_arcmin, aberration_arcmin * pupil) / 60.0, 1.0 / (quantum_efficiency * photons * trolands)};
}

}  // namespace

double barten_sensitivity(double luminance, double field_deg, double cycles_per_degree) {
  assert(luminance > 0 && field_deg > 0 && cycles_per_degree >= 0);
  constexpr double k = 3, largest_field = 12, most_cycles = 15;
  const double u = cycles_per_degree;
  if (u == 0) return 0;
  const Eye eye = barten_eye(luminance, field_deg);
  const double pooled_area = 1.0 / (1.0 / (field_deg * field_deg) + 1.0 / (largest_field * largest_field) +
                                    u * u / (most_cycles * most_cycles));
  return eye.optics(u) / k / std::sqrt(2.0 / (integration_time * pooled_area) * eye.noise(u));
}

EquivalentGrain::EquivalentGrain(double luminance) {
  assert(luminance > 0);
  const Eye eye = barten_eye(luminance, 2);
  blur_ = eye.blur;
  photon_noise_ = eye.photon_noise;
}

double EquivalentGrain::operator()(double cycles_per_degree) const {
  assert(cycles_per_degree > 0);
  const Eye eye{blur_, photon_noise_};
  const double optics = eye.optics(cycles_per_degree);
  return eye.noise(cycles_per_degree) / (integration_time * optics * optics);
}

double equivalent_grain(double luminance, double cycles_per_degree) { return EquivalentGrain(luminance)(cycles_per_degree); }

double observer_sensitivity(double luminance, double cycles_per_degree) {
  const double u = std::abs(cycles_per_degree);
  if (u == 0) return 0;
  const double moved = modelfest_filter(u) * barten_sensitivity(luminance, 2, u) /
                       barten_sensitivity(modelfest_luminance, 2, u);
  return std::min(moved, barten_sensitivity(luminance, 40, u) / slow_pattern_pooling);
}

}  // namespace rakelight
