// The make-up of a joint that no job file changes: board edge, tape, compound, sanding (assets/schemes/workmanship.toml).
#pragma once
#include <array>
#include <string>
#include <vector>

#include "joint/joint.h"

namespace rakelight {

/// A tape, and how thin and thick the compound under it is pressed, m.
struct TapeMake { double thickness = 0, half_width = 0, bed_least = 0, bed_most = 0; };

/// Lengths in m, fractions 0–1.
struct MakeUp {
  double taper_depth = 0, taper_width = 0, shoulder = 0;
  double nose_depth = 0, nose_width = 0, chamfer_depth = 0, chamfer_width = 0, pared_depth = 0, pared_width = 0;
  std::array<TapeMake, 4> tapes;       ///< in the order of TapeSpec
  double cover = 0;
  double bead_nose = 0, bead_flange = 0, bead_flange_width = 0;
  double dimple_depth = 0, dimple_radius = 0;
  std::vector<double> corner_widths, bead_widths, fixing_widths;
  double setting_shrinkage = 0, drying_shrinkage = 0, lightweight_shrinkage = 0, early = 0;
  double sanding_fraction = 0, over_sanding_fraction = 0, sanding_block = 0, scuff = 0, scuff_width = 0;
  const TapeMake& tape(TapeSpec kind) const { return tapes[static_cast<std::size_t>(kind)]; }
};

/// From the embedded file. Throws std::logic_error when that is broken.
const MakeUp& make_up();

/// How many coats a level lays on a kind: on joints between sheets the tape's bed and what follows it; on fixings and
/// beads one at level 2 of ASTM C840 and one more than the joints' separate coats above it; in corners the tape and one.
int coats_on(const Level& level, JointKind kind);

/// Volume lost on drying by coat `k` (0 = bed) of a list "setting" | "drying" | "lightweight", whose last entry stands for later
/// coats; an empty list means drying.
double shrinkage_of_coat(const std::vector<std::string>& compound, int k);

}  // namespace rakelight
