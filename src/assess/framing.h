// What framing out of line adds to a joint's visibility.
#pragma once
#include "assess/assess.h"

namespace rakelight {

/// Visibility of a joint together with the face that the framing gives it, and of that face alone, at the look where the
/// joint is seen best (`profile`, from `eye`). To first order: the light of the joint's station over 1.5 m either side, cut
/// off at the face's edges and faded out over the outer half metre; sheen enters by how much it strengthens the joint's own
/// slopes. A tilt common to all of the stretch is no pattern and is left out.
Framed framed_visibility(const Study& study, int surface, const PlacedJoint& joint, const Substrate& substrate,
                         const ContrastProfile& profile, int moment, dvec3 eye, double veil);

}  // namespace rakelight
