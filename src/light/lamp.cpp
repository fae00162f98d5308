#include "light/lamp.h"

#include <cmath>

#include "base/quadrature.h"
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

std::vector<LampPart> lamp_parts(const Lamp& lamp, double distance) {
  if (lamp.size <= 0 || distance >= 10 * lamp.size) return {{lamp.at, 1}};
  const dvec3 helper = std::abs(lamp.aim.z) < 0.9 ? dvec3(0, 0, 1) : dvec3(1, 0, 0);
  const dvec3 x = glm::normalize(glm::cross(helper, lamp.aim)), y = glm::cross(lamp.aim, x);
  const double radius = 0.5 * lamp.size;
  std::vector<LampPart> parts;
  const auto ring = [&](int count, double r, double share, double turn) {
    for (int i = 0; i < count; ++i) {
      const double angle = 2 * pi * (i + turn) / count;
      parts.push_back({lamp.at + r * radius * (std::cos(angle) * x + std::sin(angle) * y), share / count});
    }
  };
  if (distance >= 2 * lamp.size) {
    parts.push_back({lamp.at, 0.25});
    ring(6, std::sqrt(2.0 / 3.0), 0.75, 0);
  } else {
    // Gauss nodes in r² give equal weight to equal areas
    for (const Node& node : gauss_nodes(5)) ring(10, std::sqrt(node.x), node.weight, 0.5);
  }
  return parts;
}

}  // namespace rakelight
