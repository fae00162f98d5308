// Where along each joint it is seen best.
#pragma once
#include <array>
#include <vector>

#include "assess/joint_view.h"

namespace rakelight {

/// A stretch of a joint, m along it.
using Stretch = std::array<double, 2>;

/// Where a joint is looked at: from 0.15 m inside its ends (a tenth of its length where that is less), where feathers die, and
/// clear of films that cross it, which are another joint's and whose laps are no shape that goes on along this one. Where
/// crossings leave less than 20 mm, all of it; of fixings filled one by one, the spots.
std::vector<Stretch> clear_stretches(const Relief& relief, int joint);
/// The place nearest to `station` that is clear.
double clear_place(const std::vector<Stretch>& stretches, double station);

/// For every joint, moment and viewer the place where it is seen best. Found in three steps: glimpses every 50 mm (look/glimpse.h)
/// weighed by the eye's sensitivity to crowns and to laps; full looks where they promise most; and from those within a fifth of a joint's best a climb
/// to the top of V. A joint's highest V, if it is over 0.5, is within some 3 % of the highest of full looks every 10 mm for the demo
/// (tests/unit/assess/search_test.cpp) and for 25 of 26 joints of random rooms, 5 % too low for the other (tests/laws/rooms_law.cpp);
/// the V of viewers and moments that see much less of it is less certain. Looks are in the order of joints, moments and viewers;
/// those at joints out of sight are left out. Of a joint's looks the first of highest V alone keeps its pattern and profile, which are
/// tens of kilobytes each.
struct FoundLook { int joint = 0; Look look; };
std::vector<FoundLook> search(const JointSetting& setting, const std::vector<int>& moments, const std::vector<int>& viewers);

}  // namespace rakelight
