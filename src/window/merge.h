// What differs between two texts line by line, and two people's changes of one text brought together.
#pragma once
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace rakelight {

/// Lines [from, to) of one text stand where lines [other_from, other_to) of the other do. Lines count from 0.
struct LineChange {
  std::size_t from = 0, to = 0, other_from = 0, other_to = 0;
  bool operator==(const LineChange&) const = default;
};

/// The text's lines, each with its line end; the last may have none.
std::vector<std::string_view> lines_of(std::string_view text);
/// The fewest lines that make `other` of `text` (longest common subsequence), in order; of very long stretches that
/// differ throughout, the whole stretch.
std::vector<LineChange> line_changes(std::string_view text, std::string_view other);
/// Both changes of `base`: empty where they touch the same lines, or add different lines at the same place.
std::optional<std::string> merged(std::string_view base, std::string_view mine, std::string_view theirs);

/// For people: a line that only the first text has, or only the second.
struct LineSaid { bool second = false; std::size_t number = 0; std::string text; };  ///< number counts from 1
std::vector<LineSaid> difference(std::string_view first, std::string_view second);

}  // namespace rakelight
