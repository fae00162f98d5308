// Lamps that come later, and how near they may come (physics 5).
#pragma once
#include <string>
#include <vector>

#include "advice/levers.h"

namespace rakelight {

/// A surface under one lamp of the standing set (light/standing.h), alone in the dark.
struct StandingLamp {
  std::string name;
  double chance = 0;                 ///< that any joint shows
  Judged judged;                     ///< of the joint seen most
  std::string joint, viewer;         ///< "" when none is lit
};

struct Standing {
  int surface = 0;
  double aim = 0;                    ///< the job's own
  std::vector<StandingLamp> lamps;   ///< the set, then downlights further off where those of the set are too near
  enum class Nearest { not_asked, any, some, none } answer = Nearest::not_asked;  ///< not asked: downlights do not light it (ceilings)
  double nearest = 0, farthest = 0;  ///< some: downlights no closer than this, m (any: than the nearest looked at); the farthest looked at
};

/// Looks at a judged surface under the standing set, for each lamp at the joints that it should show most, where it rakes
/// them most, from where each is seen best by the lamps and skies of the job and from the inspection position; workmanship is
/// taken to spread V there as at the joint's worst look of the job. Distances
/// between those looked at are interpolated, chances by their logarithms over the logarithm of the distance. `light`: see levers_of.
Standing under_standing_lamps(const Study& study, const SurfaceResult& surface, std::shared_ptr<ChangedLight> light = nullptr);

/// The sentence for the client: "Good for downlights no closer than 430 mm to the long wall (…)". No full stop.
std::string nearest_lamp_text(const Study& study, const Standing& standing);

}  // namespace rakelight
