// What is wrong with an input, where, and what would be right. Bad input is a value of this type,
// never an exception; each stage adds to one Diagnostics.
#pragma once
#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace rakelight {

/// A stretch of the input text, in bytes [begin, end). begin == end == npos: no place in the text.
struct Span {
  static constexpr std::size_t nowhere = static_cast<std::size_t>(-1);
  std::size_t begin = nowhere, end = nowhere;
  bool known() const { return begin != nowhere; }
};

struct Diagnostic {
  enum class Level { error, warning };
  Level level = Level::error;
  Span at;
  std::string wrong;  ///< what is wrong: "window W1 reaches past the end of wall street"
  std::string right;  ///< what would be right: "from_left + width at most 4200"
  Span other;         ///< the second place when two conflict
  std::string other_says;
};

class Diagnostics {
 public:
  /// What was said before of the same place is not said again: several stages may stumble over it.
  void error(Span at, std::string wrong, std::string right, Span other = {}, std::string other_says = {});
  void warn(Span at, std::string wrong, std::string right, Span other = {}, std::string other_says = {});
  bool ok() const;  ///< no errors (warnings allowed)
  const std::vector<Diagnostic>& all() const { return all_; }
  /// `file:line:col: error: …`, the source line cut to 100 columns around a caret, what would be right.
  std::string to_text(std::string_view file, std::string_view text) const;

 private:
  void add(Diagnostic said);
  std::vector<Diagnostic> all_;
};

/// Line and column (1-based, columns counted in UTF-8 characters) of a byte offset.
struct Place { int line = 1, column = 1; };
Place place_of(std::string_view text, std::size_t offset);

}  // namespace rakelight
