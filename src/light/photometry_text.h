// Lines and numbers of photometric files, whatever their line ends and decimal mark.
#pragma once
#include <optional>
#include <string>
#include <string_view>

namespace rakelight {

struct Line { std::string_view text; std::size_t begin = 0; };  ///< without its end; offset in the file

/// Lines that end in LF, CR LF or CR.
class Lines {
 public:
  explicit Lines(std::string_view text) : text_(text) {}
  std::optional<Line> next() {
    if (at_ >= text_.size()) return std::nullopt;
    std::size_t end = at_;
    while (end < text_.size() && text_[end] != '\n' && text_[end] != '\r') ++end;
    const Line line{text_.substr(at_, end - at_), at_};
    at_ = end + 1;
    if (end + 1 < text_.size() && text_[end] == '\r' && text_[end + 1] == '\n') ++at_;
    return line;
  }

 private:
  std::string_view text_;
  std::size_t at_ = 0;
};

std::string_view trimmed(std::string_view text);
/// A finite number that takes up all of the text; a comma may be its decimal mark.
std::optional<double> number_in(std::string_view text);
/// In quotes for a message: one line of at most 40 bytes, as UTF-8.
std::string shown(std::string_view text);
/// The text itself where it is UTF-8, else taken as Latin-1.
std::string utf8_text(std::string_view bytes);

}  // namespace rakelight
