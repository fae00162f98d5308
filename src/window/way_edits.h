// A way of laying as edits of the job.
#pragma once
#include <vector>

#include "advice/way_round.h"
#include "assess/assess.h"
#include "window/edits.h"

namespace rakelight {

/// The edits that make the job's face be laid that way: direction, sheet, first row, first sheets; keys that the way leaves to the rule are taken
/// away where the job has them. Precondition: boarded.
std::vector<Edit> way_edits(const Study& study, int surface, const Way& way);

}  // namespace rakelight
