// The smooth light of one moment on a face's grid, from the basis's unit light.
#pragma once
#include <vector>

#include "light/basis.h"

namespace rakelight {

/// The grid of a surface whose basis has one. sky, even: luminances of the moment's sky and of the basis's even bands, cd/m². Windows at
/// every node; bounced light at its own nodes, cubic between them (UnitField). Exact at nodes but for the sky table's steps.
FieldGrid make_field(const Lighting& lighting, int surface, const SkyTable& sky, const std::vector<double>& even);

}  // namespace rakelight
