// Hours and material as ranges, always estimates (docs/reference/trade.md section 7).
#pragma once
#include <string>
#include <vector>

#include "assess/assess.h"
#include "cost/range.h"

namespace rakelight {

/// Of a film over a whole face: drawn on and drawn off again (estimate).
inline constexpr Range film_waste{1.0, 1.5};
struct Cost {
  Range hours, compound_kg, tape_m;      ///< for one surface
  int visits = 0;
  std::vector<std::string> notes;        ///< "estimate: no labour rate was verified" …, with sources
};
/// What finishing `result`'s surface takes, from its sheets' area, its joints' metres and widths and its level's
/// passes (docs/reference/trade.md 7.1, 7.3; ceilings × 1.25–1.4). Precondition: its level is one of the study's scheme.
Cost cost_of(const Study& study, const SurfaceResult& result);

/// The hours in `cost_of(…).hours` by what they go into: one pass over the joints (the tape, a coat, sanding; a wiped
/// coat is half a pass), and the film over the whole face.
struct PassHours { Range pass, film; };
PassHours pass_hours(const Study& study, const SurfaceResult& result);

/// A surface with its sheets and the sections of its joints, that nobody has looked at: all that hours and material need.
SurfaceResult made_surface(const Study& study, int surface, const Finish& finish);
/// Every boarded surface as the job asks.
std::vector<SurfaceResult> made_surfaces(const Study& study);

/// The surfaces of a job, by whoever keeps them: their sections are too big to copy.
using Surfaces = std::vector<const SurfaceResult*>;
Surfaces all_of(const std::vector<SurfaceResult>& surfaces);

/// Area of the sheets of a layout, m².
double boarded_area(const Layout& layout);
/// Whether tape is bedded there: between sheets, in corners.
bool takes_tape(JointKind kind);
/// Passes over the joints against level 4's tape, two coats and sanding.
double share_of_level_four(const Level& level);
}  // namespace rakelight
