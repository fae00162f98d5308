// From a time on a clock at the site to an instant, and back.
#pragma once
#include <chrono>
#include <optional>
#include <string>

#include "base/diagnostics.h"
#include "job/job.h"

namespace rakelight {

using UtcSeconds = std::chrono::time_point<std::chrono::system_clock, std::chrono::seconds>;

struct Instant {
  UtcSeconds utc;
  double fraction = 0;  ///< s
  std::string text;     ///< on the site's clocks, with the offset
};

/// The rules of time zones come from the system's database; throws std::runtime_error on a machine without one.
/// Diagnostics at `at`: no such date, no zone and no offset, an unknown zone, a time that the clocks skip or double.
std::optional<Instant> instant_of(const SiteSpec& site, const LocalTime& t, Span at, Diagnostics& diagnostics);
double julian_date(const Instant& t);

/// How far the site's clocks are ahead of UTC at an instant, s; 0 without a zone. Precondition: the zone is known.
long clock_offset(const SiteSpec& site, UtcSeconds utc);
/// The instant at which a civil date begins on the site's clocks (the first, where midnight comes twice; the change, where it
/// is skipped). Precondition: the date exists.
UtcSeconds day_start(const SiteSpec& site, int year, int month, int day);

}  // namespace rakelight
