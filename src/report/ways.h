// Which way round, told: text and JSON (docs/schema/sheets.json).
#pragma once
#include <string>
#include <vector>

#include "report/setting_out.h"

namespace rakelight {

/// One face: the search's result, and the way that is set out.
struct FaceReport {
  FaceWays ways;
  Plan plan;                            ///< of the way that is set out
  SurfaceResult judged;                 ///< its joints, looked at in full
};
/// Faces in the order in which they are hung, ceilings first; all of one cutting.
struct WaysReport {
  const Study* study = nullptr;
  std::string shown;                    ///< which way is set out: "best", "asked" or "usual"
  std::vector<FaceReport> faces;
  Cutting cutting;
  int year_times = 0;                   ///< of the year's sun that were looked at besides the job's own times
};
std::string ways_text(const WaysReport& report, bool colour);
std::string ways_json(const WaysReport& report, const std::string& job_name);
std::vector<SettingOut> settings_out(const WaysReport& report);

}  // namespace rakelight
