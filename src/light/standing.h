// Lamps that may come later: what a finish is judged by beyond the lamps of its day.
#pragma once
#include <vector>

#include "light/light.h"

namespace rakelight {

/// A downlight (700 lm, beam 60°) let into the ceiling at a distance from the middle of a wall, m.
Lamp standing_downlight(const Room& room, int wall, double distance);

/// The standing set for a surface, each lamp alone.
///
/// For a wall: downlights 150, 300 and 600 mm off it; a cove strip over its length, 100 mm off it and under the ceiling,
/// turned to it; a wall light (a globe of 600 lm) 100 mm off its middle, 1.8 m up; a bare bulb (800 lm all round) in the
/// middle of the room, 300 mm under the ceiling. For the ceiling, which downlights let into it do not light: cove strips
/// along the two longest walls, a wall light on the longest, an uplight beside it and the bare bulb. Fluxes are usual ones
/// (common practice). In a room lower than 1.9 m the wall light hangs halfway up.
std::vector<Lamp> standing_lamps(const Room& room, int surface);

}  // namespace rakelight
