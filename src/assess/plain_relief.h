// Relief for looks that ask for no spread of hands.
#pragma once
#include "assess/assess.h"

namespace rakelight {

/// As finished_relief, for assess_surface_at without spreads (joint/plain_relief.h).
Relief plain_relief(const Study& study, const Layout& layout, int surface, const Finish& finish);

}  // namespace rakelight
