// Which way the plan faces, when the job gives it by compass or by where the sun was seen.
#pragma once
#include "sky/sky.h"

namespace rakelight {

/// The site with `north` as the true bearing of plan +y, and in `north_from` how it was come by:
/// - magnetic: the compass bearing plus the declination (east positive);
/// - seen: the bearing at which the sun's azimuth at that time is a direction of the wall. Of the two such bearings the one
///   is taken whose sun comes in through a window (so that it runs along the wall); where both do, the one whose
///   window is nearer to the wall.
/// Diagnostics: no such wall, a time the clocks skip, the sun down, or no window through which it could have come.
SiteSpec located(const Job& job, Diagnostics& diagnostics);

}  // namespace rakelight
