// A text in lines.
#pragma once
#include <functional>
#include <string>
#include <string_view>
#include <vector>

namespace rakelight {

/// `text` broken at spaces into lines no wider than `room`, but a word that is wider alone; a number keeps its unit beside it.
/// Line ends of the text stay. `width`: of a piece of text, in the unit of `room`.
std::vector<std::string> in_lines(std::string_view text, double room, const std::function<double(std::string_view)>& width);

}  // namespace rakelight
