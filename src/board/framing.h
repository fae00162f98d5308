// What the sheets are fixed to: where its members stand, and where sheet ends may fall on them.
#pragma once
#include <vector>

#include "board/board.h"

namespace rakelight {

/// Members behind a face. On walls they stand as [framing] says (upright without it), on ceilings across the sheets.
struct Framing {
  bool known = false;                 ///< the job has [framing]; else studs at the usual 600 mm are taken
  bool dabs = false;                  ///< board on dabs: there are no members
  bool upright = true;                ///< members run along y and are spaced along x; else the other way round
  double spacing = 0;                 ///< m
  std::vector<double> at;             ///< centres in the face's frame, m, ascending; the first and last stand in the corners
  /// Whether members run across sheets of this run, so that their ends can fall on them.
  bool across(Run run) const { return !dabs && upright == (run == Run::horizontal); }
};
Framing framing_of(const Job& job, const Room& room, int surface, Run run);

/// Where sheet ends may fall along a row, ascending, m: members, or with backed butts the middles between them. Empty: anywhere
/// (no members across the sheets, or the rule is relaxed).
std::vector<double> end_places(const Job& job, const Room& room, int surface, Run run);

}  // namespace rakelight
