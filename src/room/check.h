// The checks behind make_room: each reports what cannot be built, and leaves the rest to go on.
#pragma once
#include "room/room.h"

namespace rakelight {

/// Corners, walls and height. False when no walls can be made of them (too few corners, names that do not
/// match); other faults are reported and the walls can still be measured.
bool check_outline(const Job& job, Diagnostics& diagnostics);

/// Windows and doors of a room whose walls stand, against the walls, each other and the room behind.
void check_openings(const Job& job, const Room& room, Diagnostics& diagnostics);

/// Lamps against walls, floor and ceiling.
void check_lamps(const Job& job, const Room& room, Diagnostics& diagnostics);

/// Name of wall i, given or A, B, C …
std::string wall_name(const Job& job, std::size_t i);

}  // namespace rakelight
