// Workmanship learnt from what was measured on joints of the same hands.
#pragma once
#include <vector>

#include "joint/curve.h"
#include "joint/joint.h"

namespace rakelight {

/// A measured cross-section of a finished joint: heights over the board face, m, the joint at offset 0.
struct MeasuredSection { JointKind kind = JointKind::recessed; HeightCurve face; };

/// Reads off one section: its crown (highest, or lowest where that is further off, against the chord from end to end), its
/// highest lap ridge (narrower than a sanding block, outside the tape), and how far the tape's edges at ±tape_half stand out.
SectionFigures read_figures(const HeightCurve& face, double tape_half = 0.025);

/// What sections say, as figures of a job file.
MeasuredSpec figures_of(const std::vector<MeasuredSection>& sections);

/// `base` with each figure that was measured in place of its own: the mean of what was measured; the standard deviation
/// pooled with the base's, which counts as four joints, so that one or two measured joints do not claim to know the spread.
Workmanship learnt(const Workmanship& base, const MeasuredSpec& measured);

}  // namespace rakelight
