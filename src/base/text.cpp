#include "base/text.h"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <fmt/format.h>

namespace rakelight {

std::string number_text(double value) {
  char buffer[64];
  auto [end, error] = std::to_chars(buffer, buffer + sizeof buffer, value == 0 ? 0.0 : value);
  return {buffer, end};
}

std::string_view program_version() { return RAKELIGHT_VERSION; }

std::string fixed_text(double value, int decimals) {
  std::string out = fmt::format("{:.{}f}", value, decimals);
  if (out.find_first_not_of("-0.") == std::string::npos && out[0] == '-') out.erase(0, 1);
  return out;
}

// Optimal string alignment: insertions, deletions, replacements and swaps of neighbours count one each.
static std::size_t edit_distance(std::string_view a, std::string_view b) {
  std::vector<std::size_t> before(b.size() + 1), last(b.size() + 1), row(b.size() + 1);
  for (std::size_t j = 0; j <= b.size(); ++j) last[j] = j;
  for (std::size_t i = 1; i <= a.size(); ++i) {
    row[0] = i;
    for (std::size_t j = 1; j <= b.size(); ++j) {
      row[j] = std::min({last[j] + 1, row[j - 1] + 1, last[j - 1] + (a[i - 1] == b[j - 1] ? 0u : 1u)});
      if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1]) row[j] = std::min(row[j], before[j - 2] + 1);
    }
    before.swap(last);
    last.swap(row);
  }
  return last.back();
}

std::string nearest_word(std::string_view word, const std::vector<std::string>& candidates) {
  std::string best;
  // a word of which nothing is left is no suggestion
  std::size_t best_distance = std::min(std::max<std::size_t>(1, word.size() / 3) + 1, word.size());
  // far longer than every candidate: not worth the quadratic work
  if (word.size() > 200) return best;
  for (const std::string& candidate : candidates) {
    const std::size_t distance = edit_distance(word, candidate);
    if (distance < best_distance) {
      best_distance = distance;
      best = candidate;
    }
  }
  return best;
}

}  // namespace rakelight
