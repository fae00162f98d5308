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

dvec3 lamp_axis(const Lamp& lamp) {
  const dvec3 level = lamp.x - glm::dot(lamp.x, lamp.aim) * lamp.aim;
  return glm::length(level) > 1e-9 ? glm::normalize(level) : kernel::lamp_level_axis(lamp.aim);
}

LampLight::LampLight(const Lamp& lamp) : form_(kernel::no_lamp()) {
  form_.at = lamp.at;
  form_.aim = lamp.aim;
  form_.x = lamp_axis(lamp);
  form_.y = glm::cross(form_.x, lamp.aim);
  form_.sides = lamp.sides;
  form_.size = lamp.size;
  form_.peak = lamp.peak;
  form_.exponent = lamp.exponent;
  if (!lamp.table) return;
  form_.table = 0;
  kernels_.rows = lamp.table->data();
}

}  // namespace rakelight
