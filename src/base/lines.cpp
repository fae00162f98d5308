#include "base/lines.h"

#include <algorithm>
#include <array>

namespace rakelight {

namespace {

constexpr std::array<std::string_view, 14> units{"mm", "m", "m²", "%", "°", "in", "h", "min", "lx", "lm", "klm", "kg", "cd/m²", "litres"};

/// Words that the space between them keeps together: "1.1 mm", "3 m of".
bool number_and_unit(std::string_view before, std::string_view after) {
  if (before.empty() || before.back() < '0' || before.back() > '9') return false;
  while (!after.empty() && std::string_view(".,;:)").find(after.back()) != std::string_view::npos) after.remove_suffix(1);
  return std::find(units.begin(), units.end(), after) != units.end();
}

}  // namespace

std::vector<std::string> in_lines(std::string_view text, double room, const std::function<double(std::string_view)>& width) {
  std::vector<std::string> lines;
  for (std::size_t start = 0; start <= text.size();) {
    const std::size_t stop = std::min(text.find('\n', start), text.size());
    const std::string_view paragraph = text.substr(start, stop - start);
    std::string line;
    for (std::size_t at = 0; at < paragraph.size();) {
      std::size_t end = std::min(paragraph.find(' ', at), paragraph.size());
      while (end < paragraph.size()) {
        const std::size_t next = std::min(paragraph.find(' ', end + 1), paragraph.size());
        const std::string_view last = paragraph.substr(at, end - at);
        if (!number_and_unit(last.substr(last.rfind(' ') + 1), paragraph.substr(end + 1, next - end - 1))) break;
        end = next;
      }
      const std::string word(paragraph.substr(at, end - at));
      const std::string longer = at == 0 ? word : line + " " + word;
      if (!line.empty() && width(longer) > room) {
        lines.push_back(line);
        line = word;
      } else {
        line = longer;
      }
      at = end + 1;
    }
    lines.push_back(line);
    start = stop + 1;
  }
  return lines;
}

}  // namespace rakelight
