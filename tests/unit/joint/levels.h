// Levels of the scheme that the tests of sections are made to.
#pragma once
#include <string>
#include <vector>

#include "joint/joint.h"

namespace rakelight::testing {

inline Level level(const std::string& id) { return *scheme("c840")->find(id); }
inline std::vector<Level> levels() { return scheme("c840")->levels; }

}  // namespace rakelight::testing
