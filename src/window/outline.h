// The room's outline: its corners typed, walked round by lengths and turns, dragged in plan.
#pragma once
#include <optional>
#include <string>
#include <vector>

#include "base/vec.h"

namespace rakelight {

struct Sight;

/// A leg of a walk round: how far, and how far one turns to the right at its end, degrees.
struct Leg { double length = 0, turn = 90; };
/// The walls of an outline as a walk: lengths in m, turns in (−180, 180].
std::vector<Leg> legs_of(const std::vector<dvec2>& corners);
/// The outline with one wall's length changed: the corners behind it move along, to where the outline bends back; of a
/// rectangle, the opposite wall changes as well. Empty when no wall can take up the difference.
std::optional<std::vector<dvec2>> with_length(const std::vector<dvec2>& corners, std::size_t wall, double length);

/// The rows of the outline in the sheet of the job.
void outline_editor(Sight& s);

}  // namespace rakelight
