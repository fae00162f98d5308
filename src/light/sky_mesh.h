// The sky as hat functions on 48 azimuths × 12 altitudes and the zenith: 577 nodes, closer near the horizon.
#pragma once
#include <array>
#include <vector>

#include "base/vec.h"
#include "sky/sky.h"

namespace rakelight {

inline constexpr int sky_nodes = 577;
inline constexpr int skyline_node = 577, ground_node = 578, outside_nodes = 579;  ///< the bands after the sky

/// The nodes whose hats cover a direction above the horizon, with the hats' values there (they sum to 1).
struct Hats { std::array<int, 4> node{}; std::array<double, 4> weight{}; };
Hats sky_hats(dvec3 direction);

/// Luminances, cd/m², for all outside nodes: the sky's values are those whose interpolation has the same integral
/// against every hat as the sky itself (least squares), so that a smooth receiver sees the right light.
std::vector<double> outside_weights(const SkyState& sky);

}  // namespace rakelight
