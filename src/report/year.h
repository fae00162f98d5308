// A year in words, numbers and as a chart.
#pragma once
#include <string>
#include <vector>

#include "assess/year.h"
#include "base/image.h"

namespace rakelight {

/// What a year's report is made of. `overcast` and `climate` are null unless it is weighted by a climate.
struct YearReport {
  const Study& study;
  const Year& year;
  const std::vector<LampsAlone>& lamps;
  const Year* overcast = nullptr;
  const Climate* climate = nullptr;
};

std::string year_text(const YearReport& report, bool colour);
/// As docs/schema/year.json.
std::string year_json(const YearReport& report, const std::string& job_name);
/// surface,date,from,to,verdict,visibility,joint,raking_ratio: one line per stretch, clocks of the site.
std::string year_csv(const YearReport& report);
/// Days across, hours down, a panel per face; below each a band for lamps alone. 8-bit values, three channels.
Image year_chart(const YearReport& report);

/// Hours and date on the site's clocks.
struct ClockTime { int month = 1, day = 1; double hours = 0; };
ClockTime clock_time(const SiteSpec& site, double jd_ut);
/// "20:41"
std::string clock_text(double hours);

}  // namespace rakelight
