// What several moments of one room have in common when they are looked at together.
#pragma once
#include <array>
#include <vector>

#include "look/joint_looks.h"
#include "look/table.h"

namespace rakelight {

/// Sheen of the room's faces at every moment of a set, for one facet seen from one place: the rays of the kernel's room_sheen
/// are followed once and what they meet is read for all moments. `k`: any scene of the set, under the facet's coat; `out`: one
/// number a moment, cd/m².
void room_sheens(kernel::SceneKernels& k, const SceneSet& set, const kernel::SceneKernels::Place& place,
                 const kernel::SceneKernels::FacetAxes& facet, double* out);

}  // namespace rakelight
