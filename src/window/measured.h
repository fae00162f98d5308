// What was measured on a joint, as figures of the hands that made it.
#pragma once
#include <optional>
#include <string>

#include "job/job.h"
#include "joint/fit.h"
#include "joint/joint.h"

namespace rakelight {

/// A measured cross-section: a CSV as read_measured takes it, smoothed by fit_section. On damage: empty, and `why` says what is
/// wrong, with its line.
std::optional<FittedSection> section_from_csv(const std::string& text, std::string& why);

/// Whether new figures stand for what was measured before, or beside it: each is one more joint of the same hands.
enum class Take { instead, besides };
/// finishing.workmanship as TOML: what the job has measured already, and `more`. Figures that `more` lacks stay.
std::string workmanship_value(const Job& job, const MeasuredSpec& more, Take take);
/// A crown alone, as measured on joints of a kind. Empty lists where the job file keeps no figures of that kind.
MeasuredSpec crown_measured(JointKind kind, double crown);

}  // namespace rakelight
