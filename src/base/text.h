// Locale-free numbers and small text helpers.
#pragma once
#include <string>
#include <string_view>
#include <vector>

namespace rakelight {
/// Shortest text that reads back to the same double; never depends on the locale.
std::string number_text(double value);
/// `value` with `decimals` places, trailing zeros kept ("1.40"); "-0.0" is written "0.0".
std::string fixed_text(double value, int decimals);
/// The program's version, "0.1.0".
std::string_view program_version();
/// The candidate nearest to `word` by edit distance when it is near enough to be a slip, else "".
std::string nearest_word(std::string_view word, const std::vector<std::string>& candidates);
}  // namespace rakelight
