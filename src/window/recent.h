// The jobs that were opened last.
#pragma once
#include <string>
#include <vector>

namespace rakelight {

/// Paths, the last first, from `state_folder`; none where that is "".
std::vector<std::string> read_recent(const std::string& state_folder);
/// Puts the path first among `recent`, and keeps them for the next window; where that fails, no longer than this one.
void remember_recent(const std::string& state_folder, const std::string& path, std::vector<std::string>& recent);

}  // namespace rakelight
