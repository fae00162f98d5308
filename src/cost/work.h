// The visits that a job takes, with the hours of each by what they go into. No labour rate was verified
// (docs/reference/trade.md 7.3): all are estimates, as ranges.
#pragma once
#include <string>
#include <vector>

#include "cost/cost.h"
#include "cost/range.h"

namespace rakelight {

struct Task { std::string what; Range hours; };

struct Visit {
  enum class Kind { coat, film, sanding, sealer, check, touch_up };
  Kind kind = Kind::coat;
  int coat = -1;                       ///< which coat it lays, 0 = the bed; of coat and film alone
  std::string name;                    ///< "bed and tape", "second coat", "sanding" …
  std::string compound;                ///< "setting" | "drying" | "lightweight"; "" = none is laid
  double thickest = 0;                 ///< of what is laid, wet, m
  bool by_painter = false;             ///< not the finisher's hours
  std::vector<std::string> surfaces;   ///< whose joints are worked on
  std::vector<Task> tasks;
  Range hours() const;
};

/// In their order: a visit per coat, the film, sanding, the sealer (by whoever paints), the check of the sealed face under a
/// lamp, and touching up; only those that the levels ask for. `surfaces`: of the job, judged or only made.
std::vector<Visit> visits_of(const Study& study, const Surfaces& surfaces);

/// Hours of the finisher's visits together, and how many there are.
Range hours_of(const std::vector<Visit>& visits);
int count_of(const std::vector<Visit>& visits);

/// "bed and tape", "second coat" …: coat 0 is the first.
std::string coat_name(int coat);

}  // namespace rakelight
