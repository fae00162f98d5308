// Lamps as points of cosⁿ intensity, parted when near.
#pragma once
#include <vector>

#include "light/light.h"

namespace rakelight {

/// One of the points that stand for a lamp's opening, with its share of the intensity (shares sum to 1).
struct LampPart { dvec3 at{0}; double share = 1; };

/// One point from ten times the opening's size on; nearer, a rule over the disc that is exact for polynomials of
/// degree 5 (seven points, Stroud 1971, S2 5-1), and under twice its size one of degree 9 (50 points).
std::vector<LampPart> lamp_parts(const Lamp& lamp, double distance);

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
  if (distance >= 10 * lamp.size) return add(lamp.at, 1);
  dvec3 sum{0};
  for (const LampPart& part : lamp_parts(lamp, distance)) sum += add(part.at, part.share);
  return sum;
}
}  // namespace rakelight
