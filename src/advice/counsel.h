// All that is advised of a job beyond direction and level: cures, lamps that come later, and the standard's own word.
#pragma once
#include <optional>
#include <vector>

#include "advice/cures.h"
#include "advice/standard.h"
#include "advice/standing.h"

namespace rakelight {

struct SurfaceCounsel {
  SurfaceCures cures;
  Standing later;
  std::optional<StandardAdvice> standard;
};
struct Counsel {
  std::vector<SurfaceCounsel> surfaces;  ///< as in the advice
  double chance_after = 0;               ///< that any joint of the job shows once every surface has its least work
  const SurfaceCounsel* of(int surface) const;
};

/// The job's aim is for all of its joints: every surface on which something may be noticed gets an even share of it, so
/// that all together stay within it whatever they have in common.
double share_of_aim(const Study& study, const Assessment& assessment);

/// Of painted work.
Counsel counsel(const Study& study, const Assessment& assessment, const Advice& advice);

}  // namespace rakelight
