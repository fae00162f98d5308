// Relief for looks that ask for no spread of hands.
#pragma once
#include "joint/joint.h"

namespace rakelight {

/// As make_relief, but what the figures do to a section (PlacedJoint::change) is there only where it is known already: working
/// it out takes eight times as long as the section.
Relief make_plain_relief(const Job& job, const Layout& layout, const Level& level, const Workmanship& work);

}  // namespace rakelight
