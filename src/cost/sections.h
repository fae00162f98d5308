// Volumes of compound from the sections of joints.
#pragma once
#include <vector>

#include "joint/joint.h"

namespace rakelight {

/// One coat on one joint: its volume, mixed and before it shrinks, m³; for a strip all along its line, for fixings filled one by
/// one all its spots. And its greatest wet thickness, m.
struct CoatVolume { double volume = 0, thickest = 0; };
/// Coat by coat, the bed first; a film over the whole face is not one of them. Of a measured joint as the job's hands would have
/// built it.
std::vector<CoatVolume> coat_volumes(const PlacedJoint& joint);

}  // namespace rakelight
