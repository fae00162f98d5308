// What to do about it: each surface under both directions and every level of the scheme (physics 5).
#pragma once
#include <string>
#include <vector>

#include "assess/assess.h"
#include "cost/cost.h"

namespace rakelight {

struct Change { std::string key, from, to; };  ///< "surface.long.run", "horizontal", "upright"

struct Option {
  Finish finish;
  std::vector<Change> changes;           ///< against the job; empty for the job as it stands
  Judged judged;                         ///< of its worst joint
  int joints = 0, showing = 0, faint = 0;
  double joint_metres = 0, chance_any_shows = 0;
  std::string worst_joint, worst_moment, worst_viewer;  ///< "" when nothing is seen
  Cost cost;
};

struct SurfaceAdvice {
  int surface = 0;
  std::vector<Option> options;           ///< both runs × the scheme's levels fit for paint (taped and coated)
  int best = -1;                         ///< the cheapest whose chance_any_shows is within verdict.chance, else the least visible
  int as_asked = -1;
  std::vector<std::string> reasons;      ///< plain sentences with their numbers, best first
};

struct Advice { std::vector<SurfaceAdvice> surfaces; };
Advice advise(const Study& study);

}  // namespace rakelight
