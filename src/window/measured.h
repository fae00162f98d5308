// What was measured on a joint, as figures of the hands that made it.
#pragma once
#include <optional>
#include <string>

#include "job/job.h"
#include "joint/joint.h"

namespace rakelight {

/// The crown with which a joint of this make has `gap` (m) under a rule of `base` (m) laid over its middle: on a crown the
/// rule is held level, balanced on its top; over a hollow it bridges. Empty when no crown from −5 to 10 mm gives it.
std::optional<double> crown_from_gap(const PlacedJoint& joint, double gap, double base, bool hollow);

/// What a measured cross-section says of the hands: a CSV as read_measured takes it (heading offset_mm,height_mm, at least
/// 7 points on both sides of the joint at 0), smoothed by fit_section. On damage: empty, and `why` says what is wrong,
/// with its line.
std::optional<MeasuredSpec> figures_from_csv(const std::string& text, JointKind kind, std::string& why);

/// Whether new figures stand for what was measured before, or beside it: each is one more joint of the same hands.
enum class Take { instead, besides };
/// finishing.workmanship as TOML: what the job has measured already, and `more`. Figures that `more` lacks stay.
std::string workmanship_value(const Job& job, const MeasuredSpec& more, Take take);
/// A crown alone, as measured on joints of a kind. Empty lists where the job file keeps no figures of that kind.
MeasuredSpec crown_measured(JointKind kind, double crown);

}  // namespace rakelight
