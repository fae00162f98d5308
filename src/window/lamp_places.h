// Where lamps are at the time that is shown, and the edits that move them: a hand lamp may be held elsewhere from moment to moment.
#pragma once
#include <optional>
#include <vector>

#include "job/job.h"
#include "window/edits.h"

namespace rakelight {

/// Plan x, y, height above the floor, m. A moment's own place for a hand lamp counts before the [[lamp]]'s.
dvec3 lamp_place(const LampSpec& lamp, const std::optional<MomentSpec>& moment);
/// Whether the lamp is on at that moment.
bool lamp_lit(const LampSpec& lamp, const std::optional<MomentSpec>& moment);
/// What moves the lamp so that `position` is at `to`, m. Where the job has a place for it in this very moment (one of the job's
/// own), that place is moved; else the [[lamp]]'s, a strip with both its ends.
std::vector<Edit> lamp_moved(const Job& job, const LampSpec& lamp, const std::optional<MomentSpec>& moment, dvec3 to);

}  // namespace rakelight
