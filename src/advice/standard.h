// What the finish scheme itself publishes for a surface, beside what was computed for it.
#pragma once
#include <optional>
#include <string>

#include "advice/cures.h"

namespace rakelight {

/// Light that rakes harder than this is what finish levels call critical: 20° above the face, in which common practice calls
/// light glancing (no published angle was found).
inline constexpr double critical_ratio = 2.75;

struct StandardAdvice {
  double gloss60 = 0, hardest = 0;   ///< of the paint, gloss units; the highest raking ratio at a joint
  bool critical = false;             ///< light that the standards call critical: taken as a ratio over 2.75, 20° above the face
  std::string level;                 ///< that it names for this paint in this light; "" = none of its levels
  std::string text, source, confidence;
  std::string ours;                  ///< the level that the computation ends at
  double chance = 0;                 ///< that a joint shows at the standard's level, other things as they are; of "" the highest level's
  bool same = false;
  std::string why;                   ///< where they differ
};
/// Empty where the scheme names no uses, or the surface has no options.
std::optional<StandardAdvice> standard_beside(const Study& study, const SurfaceAdvice& advice, const SurfaceResult& asked, const SurfaceCures& cures);
/// One sentence of both, no full stop.
std::string standard_text(const Study& study, const StandardAdvice& standard);

}  // namespace rakelight
