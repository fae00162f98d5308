// Lamps as points of cosⁿ intensity, parted when near (kernels/lamp.glsl).
#pragma once
#include "light/light.h"

namespace rakelight {

/// Light vector at p on a face with normal n, lx, world axes: each part with the face's horizon cut.
/// `seen` says whether a point of the lamp is seen from p.
template <class Seen>
dvec3 lamp_light(const Lamp& lamp, dvec3 p, dvec3 n, Seen&& seen);

}  // namespace rakelight

#include "kernel/lamp.h"

namespace rakelight {
template <class Seen>
dvec3 lamp_light(const Lamp& lamp, dvec3 p, dvec3 n, Seen&& seen) {
  const auto add = [&](dvec3 at, double share) {
    const dvec3 r = at - p;
    if (glm::dot(r, n) <= 0) return dvec3(0);
    return kernel::lamp_vector(r, lamp.aim, share * lamp.peak, lamp.exponent);
  };
  const double distance = glm::length(lamp.at - p);
  if (!seen(lamp.at)) return dvec3(0);
  const int parts = kernel::lamp_part_count(distance, lamp.size);
  dvec3 sum{0};
  for (int k = 0; k < parts; ++k) {
    const kernel::LampPart part = kernel::lamp_part(lamp.at, lamp.aim, lamp.size, parts, k);
    sum += add(part.at, part.share);
  }
  return sum;
}
}  // namespace rakelight
