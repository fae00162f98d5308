// How much brighter the sky is near the sun, for many directions: a table in place of an angle, a power and a cosine for each.
#pragma once
#include <array>
#include <cmath>
#include <cstddef>

#include "kernel/sky.h"

namespace rakelight {

/// f of the kernel's iso_indicatrix: straight between 8192 even steps of the chord from the direction to the
/// sun's, within 2e-7 of itself. Near the antisun, where the chord hardly changes with the angle, the kernel's own.
class Indicatrix {
 public:
  Indicatrix(double c, double d, double e);
  /// That of a sky's distribution. Skies of one type share it: it is made when this thread's last was another's, and stays until then.
  static const Indicatrix& of(const kernel::Outside& outside);
  /// Of a direction towards the sky, both unit.
  double at(dvec3 w, dvec3 sun) const {
    const dvec3 apart = w - sun;
    const double chord = std::sqrt(glm::dot(apart, apart));
    if (chord > 1.98) return kernel::iso_indicatrix(kernel::angle_between(w, sun), c_, d_, e_);
    const double x = chord * (0.5 * steps);
    const std::size_t i = static_cast<std::size_t>(x);
    return value_[i] + (x - static_cast<double>(i)) * (value_[i + 1] - value_[i]);
  }

 private:
  static constexpr int steps = 8192;
  double c_, d_, e_;
  std::array<double, steps + 1> value_;
};

/// kernel::sky_relative by its table.
inline double sky_relative(const kernel::Outside& outside, const Indicatrix& indicatrix, dvec3 w) {
  return kernel::iso_gradation(w.z, outside.a, outside.b) * indicatrix.at(w, outside.sun);
}

}  // namespace rakelight
