// The sky as hat functions on 96 azimuths × 18 altitudes and the zenith: 1729 nodes, closer near the horizon. Through a
// far window a wall sees a strip of sky a few degrees wide beside the sun, and 577 nodes leave 2 % in its light there.
#pragma once
#include <array>
#include <vector>

#include "base/vec.h"
#include "sky/sky.h"

namespace rakelight {

inline constexpr int sky_nodes = 1729;
inline constexpr int skyline_node = 1729, ground_node = 1730, outside_nodes = 1731;  ///< the bands after the sky

/// The nodes whose hats cover a direction above the horizon, with the hats' values there (they sum to 1).
struct Hats { std::array<int, 4> node{}; std::array<double, 4> weight{}; };
Hats sky_hats(dvec3 direction);

/// Luminances, cd/m², for all outside nodes: the sky's values are those whose interpolation has the same integral
/// against every hat as the sky itself (least squares), so that a smooth receiver sees the right light.
std::vector<double> outside_weights(const SkyState& sky);

}  // namespace rakelight
