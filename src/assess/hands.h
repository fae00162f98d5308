// What the spread of workmanship makes of one joint's visibility.
#pragma once
#include <vector>

#include "assess/angle.h"
#include "joint/joint.h"

namespace rakelight {

/// V (gain 1) for `count` equally likely sets of the joint's figures, ascending. The figures are independent and
/// normal about the joint's own with its standard deviations; lap ridge and tape edge are never below zero. The sets
/// are the additive sequence of Roberts (2018, generalised golden ratio, four dimensions) with its mirror images.
std::vector<double> workmanship_spread(const AngularPattern& pattern, const PlacedJoint& joint, int count = 32);

}  // namespace rakelight
