// Where a text is broken into lines.
#include <catch2/catch.hpp>

#include <fmt/format.h>

#include "base/lines.h"
#include "base/random.h"

namespace rakelight {
namespace {

/// As many units as bytes.
double bytes(std::string_view text) { return static_cast<double>(text.size()); }

using Lines = std::vector<std::string>;

}  // namespace

TEST_CASE("Lines break between words, never inside a number nor before its unit") {
  CHECK(in_lines("a gap of 1.1 mm under 600 mm.", 11, bytes) == Lines{"a gap of", "1.1 mm", "under", "600 mm."});
  CHECK(in_lines("wide: 3 m, then 4 metres", 9, bytes) == Lines{"wide:", "3 m, then", "4 metres"});
  CHECK(in_lines("all of it", 9, bytes) == Lines{"all of it"});
  CHECK(in_lines("first\n\nsecond line", 8, bytes) == Lines{"first", "", "second", "line"});
  CHECK(in_lines("", 8, bytes) == Lines{""});
}

TEST_CASE("A word wider than the room stands alone; nothing is lost or added, and no line could take the next word") {
  Random random(3);
  for (int i = 0; i < 500; ++i) {
    std::string text;
    const int words = 1 + static_cast<int>(random.uniform() * 20);
    for (int w = 0; w < words; ++w) text += (w ? " " : "") + std::string(1 + static_cast<std::size_t>(random.uniform() * 12), "ab1.,"[static_cast<int>(random.uniform() * 5)]);
    const double room = 3 + random.uniform() * 20;
    const Lines lines = in_lines(text, room, bytes);
    CHECK(fmt::format("{}", fmt::join(lines, " ")) == text);
    for (std::size_t k = 0; k < lines.size(); ++k) {
      CHECK((bytes(lines[k]) <= room || lines[k].find(' ') == std::string::npos));
      if (k + 1 < lines.size()) CHECK(bytes(lines[k]) + 1 + bytes(lines[k + 1].substr(0, lines[k + 1].find(' '))) > room);
    }
  }
}

}  // namespace rakelight
