// Hours and material as ranges, always estimates (docs/reference/trade.md section 7).
#pragma once
#include <string>
#include <vector>

#include "assess/assess.h"

namespace rakelight {
struct Range { double low = 0, high = 0; };
struct Cost {
  Range hours, compound_kg, tape_m;      ///< for one surface
  int visits = 0;
  std::vector<std::string> notes;        ///< "estimate: no labour rate was verified" …, with sources
};
/// What finishing `result`'s surface takes, from its sheets' area, its joints' metres and widths and its level's
/// passes (docs/reference/trade.md 7.1, 7.3; ceilings × 1.25–1.4). Precondition: its level is one of the study's scheme.
Cost cost_of(const Study& study, const SurfaceResult& result);
}  // namespace rakelight
