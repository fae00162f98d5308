// A new name for a wall, a lamp or a group goes to all that name it, so that a job can be renamed piece by piece.
#pragma once
#include <string>
#include <vector>

#include "job/read.h"
#include "job/tree.h"

namespace rakelight {

/// The walls' names as the job has them: those of room.walls, else letters. As many as there are corners.
std::vector<std::string> wall_names(const TomlNode& file);
/// The text with everything that names wall `from` naming `to`: openings, surfaces, runs, viewers, joints, the sun that was seen. room.walls stays.
JobText with_wall_renamed(const JobText& text, const std::string& from, const std::string& to);
/// The text with the moments that switch lamp or group `from` switching `to`.
JobText with_lamp_renamed(const JobText& text, const std::string& from, const std::string& to);
/// The text in which the wall with that index, counted from 0, is called `to`, everywhere.
JobText with_wall_named(const JobText& text, std::size_t wall, const std::string& to, Diagnostics& diagnostics);

}  // namespace rakelight
