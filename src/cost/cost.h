// Hours and material as ranges, always estimates (reference/trade.md section 7).
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
Cost cost_of(const Study& study, const SurfaceResult& result);
}  // namespace rakelight
