// What was measured on a joint, as figures of the hands that made it.
#pragma once
#include <optional>
#include <string>

#include "job/job.h"
#include "joint/curve.h"
#include "joint/joint.h"

namespace rakelight {

/// The crown with which a joint of this make has `gap` (m) under a rule of `base` (m) laid over its middle: on a crown the
/// rule is held level, balanced on its top; over a hollow it bridges. Empty when no crown from −5 to 10 mm gives it.
std::optional<double> crown_from_gap(const PlacedJoint& joint, double gap, double base, bool hollow);

/// A measured cross-section: lines of offset and height in mm, "," or ";" or blanks between, offsets rising, the joint at 0;
/// a first line of words is passed over. Resampled to even steps; heights are over the line from its first to its last
/// point. On damage: empty, and `why` says what is wrong, with its line.
std::optional<HeightCurve> read_section_csv(const std::string& text, std::string& why);

/// finishing.workmanship as TOML: what the job has measured already, and `more` in place of what it has of the same figures.
std::string workmanship_value(const Job& job, const MeasuredSpec& more);
/// A crown alone, as measured on joints of a kind. Empty lists where the job file keeps no figures of that kind.
MeasuredSpec crown_measured(JointKind kind, double crown);

}  // namespace rakelight
