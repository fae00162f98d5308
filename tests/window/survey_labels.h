// What the survey sheet asks, for a program that also sees the window.
#pragma once
#include <string>
#include <vector>

namespace rakelight {

/// What the sheet asks, in its order: labels of lines and heads of columns.
std::vector<std::string> asked_on_paper();

}  // namespace rakelight
