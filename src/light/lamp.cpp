#include "light/lamp.h"

#include <algorithm>
#include <cmath>

#include "base/units.h"
#include "light/photometry.h"

namespace rakelight {

namespace {

/// C = 0 of a lamp: plan +x while it points straight down, carried along on the shortest way to its aim, then turned
/// (Rodrigues 1840).
dvec3 turned_axis(dvec3 aim, double turn) {
  const dvec3 down(0, 0, -1);
  dvec3 x(1, 0, 0);
  const double c = glm::dot(down, aim);
  // straight up: over y, so that x stays
  if (c > -1 + 1e-9) {
    const dvec3 v = glm::cross(down, aim);
    x += glm::cross(v, x) + glm::cross(v, glm::cross(v, x)) / (1 + c);
  }
  return glm::normalize(std::cos(turn) * x + std::sin(turn) * glm::cross(x, aim));
}

/// The opening that a file gives. An ellipse is taken as the rectangle with the same second moments.
void set_opening(Lamp& lamp, const Photometry& p) {
  lamp.sides = p.opening;
  lamp.size = std::max({p.opening.x, p.opening.y, p.opening.z});
  if (p.round && p.opening.x == p.opening.y) lamp.sides = dvec3(0);
  else if (p.round) lamp.sides *= std::sqrt(0.75);
}

}  // namespace

Lamp make_lamp(const LampSpec& spec, const Room& room) {
  Lamp lamp;
  lamp.name = *spec.name;
  lamp.at = *spec.position;
  dvec3 aim = *spec.aim;
  const bool strip = *spec.kind == LampKind::strip;
  if (*spec.kind == LampKind::wall && !spec.aim.given) aim = room.surfaces[room.nearest_wall(dvec2(lamp.at))].frame.n;
  dvec3 along(0);
  if (strip) {
    along = *spec.to - *spec.position;
    lamp.at += 0.5 * along;
    aim -= glm::dot(aim, along) / glm::dot(along, along) * along;
  }
  lamp.aim = glm::length(aim) > 0 ? glm::normalize(aim) : dvec3(0, 0, -1);
  lamp.size = *spec.size;
  const Photometry* p = spec.distribution.get();
  if (p) {
    lamp.table = std::make_shared<const std::vector<dvec4>>(distribution_rows(*p));
    const double tilt = std::atan2(glm::length(dvec2(lamp.aim)), -lamp.aim.z);
    lamp.peak = *spec.dim * tilt_factor(*p, tilt) * (spec.flux.given ? *spec.flux / luminous_flux(*p) : 1);
    lamp.x = turned_axis(lamp.aim, *spec.turn);
    if (!spec.size.given) set_opening(lamp, *p);
  } else {
    // I(beam / 2) = I(0) / 2; flux of the lobe 2 pi I0 / (n + 1)
    lamp.exponent = std::log(0.5) / std::log(std::cos(0.5 * *spec.beam));
    lamp.peak = *spec.dim * *spec.flux * (lamp.exponent + 1) / (2 * pi);
  }
  if (strip) {
    const double length = glm::length(along);
    // the length of a luminaire lies along C 0 in LM-63, along C 90 in EULUMDAT
    const bool across = p && p->length_along_c90;
    lamp.x = across ? glm::cross(lamp.aim, along / length) : along / length;
    lamp.sides = across ? dvec3(*spec.size, length, 0) : dvec3(length, *spec.size, 0);
    lamp.size = length;
  }
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
