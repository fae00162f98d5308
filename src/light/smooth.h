// Smooth light at a point at several moments.
#pragma once
#include <vector>

#include "light/light.h"

namespace rakelight {

/// smooth_light at several moments of one room, at least one; those with the first one's basis share the ways that bounced
/// light takes.
std::vector<LightSample> smooth_light(const std::vector<const Lighting*>& lightings, int surface, dvec2 p);

}  // namespace rakelight
