// What was measured on a joint, as figures of the hands that made it.
#pragma once
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "advice/measure.h"
#include "job/job.h"
#include "joint/fit.h"
#include "joint/joint.h"
#include "window/edits.h"

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

/// A measured joint to be judged: a gap under a rule, or the path of a CSV file.
struct MeasureOrder {
  std::shared_ptr<const Study> study;
  std::string text;                    ///< of the job that the study is of
  int surface = 0;
  PlacedJoint joint;
  std::optional<RuleGap> gap;
  std::string csv;
};
struct MeasureAnswer {
  std::vector<std::string> reasons;    ///< what it means by itself; empty when it could not be judged
  std::vector<Edit> edits;             ///< one more measured joint of these hands
  std::string notice;
};
/// Long work.
MeasureAnswer measure_answer(const MeasureOrder& order);

}  // namespace rakelight
