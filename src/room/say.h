// Lengths as the job's author writes them, for messages.
#pragma once
#include <string>

#include "job/job.h"

namespace rakelight {
/// "4200 mm", or 13' 9-3/8" in a job in inches; to 0.1 mm or a sixteenth.
std::string length_text(Units units, double metres);
/// "[300, 3000]" with the same rounding, without the unit, as in a job file.
std::string point_text(Units units, dvec2 metres);
}  // namespace rakelight
