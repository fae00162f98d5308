// What to do about it: each surface under both directions and every level of the scheme (physics 5).
#pragma once
#include <string>
#include <vector>

#include "assess/assess.h"
#include "cost/cost.h"

namespace rakelight {

/// "surface.long.run", "horizontal", "upright". toml: the new value as the file has it, where that is not `to` in quotes.
struct Change { std::string key, from, to, toml = {}; };

struct Option {
  Finish finish;
  bool for_paint = false;                ///< the level is published for smooth paint; in a scheme that names no uses, has tape and a coat
  std::vector<Change> changes;           ///< against the job; empty for the job as it stands
  Judged judged;                         ///< of its worst joint
  int joints = 0, showing = 0, faint = 0;
  double joint_metres = 0, chance_any_shows = 0;
  std::string worst_joint, worst_moment, worst_viewer;  ///< "" when nothing is seen
  Cost cost;
};

struct SurfaceAdvice {
  int surface = 0;
  std::vector<SurfaceResult> results;    ///< what the options were judged by, in their order; their joints without sections
  std::vector<Option> options;           ///< both runs (of a tested system the one asked for) × all the scheme's levels, run by run, least work first
  int best = -1;                         ///< of those for paint: the cheapest (middle of its hours) whose
                                         ///< chance_any_shows is within verdict.chance, else the least likely to show
  int as_asked = -1;
  bool reached = false;                  ///< the best is within verdict.chance
  std::vector<std::string> reasons;      ///< plain sentences with their numbers, best first
};

struct Advice { std::vector<SurfaceAdvice> surfaces; };
/// Judges every boarded surface under both sheet directions (parts of a tested system as asked alone) and every level of the scheme. The job as it stands is
/// taken from `as_asked`; the other direction is looked at in full once, at the level asked for; other levels through the
/// looks that mattered there (assess_surface_at).
Advice advise(const Study& study, const Assessment& as_asked);
Advice advise(const Study& study);

/// A chance in words: "about 1 in 12", "about 7 in 10", "less than 1 in 1000".
std::string chance_text(double chance);

}  // namespace rakelight
