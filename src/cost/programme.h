// The visits with their days: how long each takes, how long to wait after it, when paint may go on at the earliest.
#pragma once
#include <optional>
#include <string>
#include <vector>

#include "cost/drying.h"
#include "cost/work.h"

namespace rakelight {

/// Days since 1 March of year 0 in the Gregorian calendar (Howard Hinnant, chrono-compatible date algorithms, 2013).
long day_number(int year, int month, int day);
struct CivilDay { int year = 0, month = 1, day = 1; };
CivilDay civil_day(long number);
/// 0 = Monday.
int weekday(long number);
/// "Mon 18 May 2026"; without its weekday "18 May 2026".
std::string day_text(long number, bool with_weekday = true);

struct Step {
  int visit = 0;                       ///< index into the visits
  long first = 0, last = 0;            ///< days; of an undated programme counted from 0, a Monday
  Range hours;                         ///< by one finisher
  Range wait;                          ///< clock hours after it until the next may begin
  std::string wait_for;                ///< what happens in them; "" where nothing need be waited for
  bool thick = false;                  ///< the wait's upper end is a guess
};

struct Programme {
  bool dated = false;                  ///< [paper] start stands in the job
  std::vector<Step> planned, at_best;  ///< with the most and the least of hours and waits
  long paint_planned = 0, paint_at_best = 0;  ///< the first day on which the finish coats may go on; 0 where there is nothing to wait for
  bool paint_known = false;
  Air air;
};

/// From the job's air, hands, hours a day and days a week. A visit goes on over days until its hours are done; the wait after it
/// runs by the clock, nights and Sundays too; a visit begins on a day that has an hour or more left.
Programme programme_of(const Job& job, const std::vector<Visit>& visits);

}  // namespace rakelight
