// What a window's keys mean together.
#pragma once
#include <vector>

#include "base/diagnostics.h"
#include "job/job.h"

namespace rakelight {

/// Puts in what stands for a cover's shares left out, and reports keys that contradict each other or say nothing.
void settle_window(WindowSpec& window, Diagnostics& diagnostics);
/// The shares that were put in.
std::vector<Assumed> assumed_window(const WindowSpec& window);

}  // namespace rakelight
