#include "light/lamp.h"

#include <cmath>

#include "base/units.h"

namespace rakelight {

Lamp make_lamp(const LampSpec& spec, const Room&) {
  Lamp lamp;
  lamp.name = *spec.name;
  lamp.at = *spec.position;
  lamp.aim = glm::length(*spec.aim) > 0 ? glm::normalize(*spec.aim) : dvec3(0, 0, -1);
  lamp.size = *spec.size;
  // I(beam / 2) = I(0) / 2; flux of the lobe 2 pi I0 / (n + 1)
  lamp.exponent = std::log(0.5) / std::log(std::cos(0.5 * *spec.beam));
  lamp.peak = *spec.flux * (lamp.exponent + 1) / (2 * pi);
  return lamp;
}

}  // namespace rakelight
