// Text for people in the units of the job: one border for all that is printed.
#pragma once
#include <string>

#include "job/job.h"

namespace rakelight {

/// Of a job in inches, every metric length in the text as feet and inches: "600 mm" as 1' 11-5/8" (to a sixteenth), heights of
/// joints ("0.5 mm", under 10 mm) as 0.020 in, "1.2 m" as 3' 11", runs from 6 m on in whole feet, "12 m²" as 129 ft², a slope in
/// "mm per m" as "in per ft", "25 kg" as 55 lb, "10 °C" as 50 °F; "3 m (10 ft)" is said already and becomes 10 ft. Ranges ("0.2-0.5 mm", "250 to 300 mm") stay ranges. Of a job in millimetres the text as it is.
/// Words with no number before them ("in mm") stay: who writes them must know the units.
std::string in_units(Units units, const std::string& text);

}  // namespace rakelight
