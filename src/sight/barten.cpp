// Contrast sensitivity: Barten 1999 and the standard observer's filter that rests on it.
#include <algorithm>
#include <cassert>
#include <cmath>

#include "base/units.h"
#include "sight/filter.h"
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

double optics(const BartenEye& eye, double u) { return std::exp(-2.0 * pi * pi * eye.blur * eye.blur * u * u); }  // transfer
double noise(const BartenEye& eye, double u) {                                                                  // photon and neural
  constexpr double neural_noise = 3e-8, inhibition = 7;
  const double lateral = -std::expm1(-(u / inhibition) * (u / inhibition));
  return eye.photon_noise + neural_noise / lateral;
}
BartenEye barten_eye(double luminance, double field_deg) {
  constexpr double quantum_efficiency = 0.03, blur_arcmin = 0.5, aberration_arcmin = 0.08, photons = 1.2274e6;
  const double pupil = 5.0 - 3.0 * std::tanh(0.4 * std::log10(luminance * field_deg * field_deg / 1600.0));
  const double stiles_crawford = 1.0 - std::pow(pupil / 9.7, 2) + std::pow(pupil / 12.4, 4);
  const double trolands = pi * pupil * pupil / 4.0 * luminance * stiles_crawford;
  return {std::hypot(blur_arcmin, aberration_arcmin * pupil) / 60.0, 1.0 / (quantum_efficiency * photons * trolands), field_deg};
}

double sensitivity(const BartenEye& eye, double u) {
  constexpr double k = 3, largest_field = 12, most_cycles = 15;
  const double pooled_area = 1.0 / (1.0 / (eye.field_deg * eye.field_deg) + 1.0 / (largest_field * largest_field) +
                                    u * u / (most_cycles * most_cycles));
  return optics(eye, u) / k / std::sqrt(2.0 / (integration_time * pooled_area) * noise(eye, u));
}

}  // namespace

double barten_sensitivity(double luminance, double field_deg, double cycles_per_degree) {
  assert(luminance > 0 && field_deg > 0 && cycles_per_degree >= 0);
  return cycles_per_degree == 0 ? 0 : sensitivity(barten_eye(luminance, field_deg), cycles_per_degree);
}

EquivalentGrain::EquivalentGrain(double luminance) {
  assert(luminance > 0);
  const BartenEye eye = barten_eye(luminance, 2);
  blur_ = eye.blur;
  photon_noise_ = eye.photon_noise;
}

double EquivalentGrain::operator()(double cycles_per_degree) const {
  assert(cycles_per_degree > 0);
  const BartenEye eye{blur_, photon_noise_, 2};
  const double passed = optics(eye, cycles_per_degree);
  return noise(eye, cycles_per_degree) / (integration_time * passed * passed);
}

double equivalent_grain(double luminance, double cycles_per_degree) { return EquivalentGrain(luminance)(cycles_per_degree); }

ObserverFilter::ObserverFilter(double luminance)
    : eye_(barten_eye(luminance, 2)), modelfest_(barten_eye(modelfest_luminance, 2)), wide_(barten_eye(luminance, 40)) {}

double ObserverFilter::operator()(double cycles_per_degree) const {
  const double u = std::abs(cycles_per_degree);
  if (u == 0) return 0;
  const double moved = modelfest_filter(u) * sensitivity(eye_, u) / sensitivity(modelfest_, u);
  return std::min(moved, sensitivity(wide_, u) / slow_pattern_pooling);
}

double observer_sensitivity(double luminance, double cycles_per_degree) { return ObserverFilter(luminance)(cycles_per_degree); }

}  // namespace rakelight
