// What the kind of a lamp and its photometric file mean for its other keys.
#pragma once
#include "base/diagnostics.h"
#include "job/job.h"

namespace rakelight {

/// Fills in what the kind has in place of the key table's defaults, and reports keys that do not go together.
void settle_lamp(LampSpec& lamp, Diagnostics& diagnostics);

/// The defaults in force of a lamp of a kind of its own, or with a file; empty where the key table's hold.
std::vector<Assumed> assumed_lamp(const LampSpec& lamp, Units units);

}  // namespace rakelight
