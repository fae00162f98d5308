#include "base/random.h"

#include <cmath>
#include <numbers>

namespace rakelight {

double Random::normal() {
  const double u = 1.0 - uniform(), v = uniform();
  return std::sqrt(-2.0 * std::log(u)) * std::cos(2.0 * std::numbers::pi * v);
}

}  // namespace rakelight
