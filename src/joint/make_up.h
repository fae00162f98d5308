// The make-up of a joint that no job file changes: board edge, tape, compound, sanding (assets/schemes/workmanship.toml).
#pragma once
#include <string>

#include "joint/joint.h"

namespace rakelight {

/// Lengths in m, fractions 0–1.
struct MakeUp {
  double taper_depth = 0, taper_width = 0, shoulder = 0;
  double tape_thickness = 0, tape_half_width = 0;
  double bed_least = 0, bed_most = 0, cover = 0;
  double setting_shrinkage = 0, drying_shrinkage = 0;
  double sanding_fraction = 0, sanding_block = 0;
};

/// From the embedded file. Throws std::logic_error when that is broken.
const MakeUp& make_up();

/// Volume lost on drying by coat `k` (0 = bed) of a list "setting" | "drying", whose last entry stands for later
/// coats; an empty list means drying.
double shrinkage_of_coat(const std::vector<std::string>& compound, int k);

}  // namespace rakelight
