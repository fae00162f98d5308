// Places, excerpts and carets.
#include <catch2/catch.hpp>

#include "base/diagnostics.h"

using namespace rakelight;

namespace {
std::string report(const std::string& text, Span at, const std::string& right = "") {
  Diagnostics d;
  d.error(at, "wrong", right);
  return d.to_text("f.toml", text);
}
std::string line_of(const std::string& text, int n) {
  std::size_t from = 0;
  for (int i = 0; i < n; ++i) from = text.find('\n', from) + 1;
  return text.substr(from, text.find('\n', from) - from);
}
std::size_t characters(const std::string& text) {
  std::size_t n = 0;
  for (char c : text) n += (static_cast<unsigned char>(c) & 0xC0u) != 0x80u;
  return n;
}
}  // namespace

TEST_CASE("an error shows file, line, column, the line, a caret and the cure") {
  CHECK(report("a = 1\nbee = 22\n", {12, 14}, "bee = 3") ==
        "f.toml:2:7: error: wrong\n    bee = 22\n          ^~\n    right would be: bee = 3\n");
}

TEST_CASE("warnings do not make it wrong; an error does") {
  Diagnostics d;
  CHECK(d.ok());
  d.warn({0, 1}, "odd", "");
  CHECK(d.ok());
  CHECK(d.to_text("f", "x") == "f:1:1: warning: odd\n    x\n    ^\n");
  d.error({0, 1}, "wrong", "");
  CHECK_FALSE(d.ok());
  CHECK(d.all().size() == 2);
}

TEST_CASE("columns count characters, not bytes, and the caret stands under its character") {
  const std::string text = "title = \"Küche 北\" x\n";
  const std::size_t x = text.find(" x") + 1;
  CHECK(place_of(text, x).column == 19);
  CHECK(report(text, {x, x + 1}) == "f.toml:1:19: error: wrong\n    title = \"Küche 北\" x\n    " + std::string(18, ' ') + "^\n");
  // two characters of three and two bytes: two marks
  const std::size_t k = text.find("ü");
  CHECK(line_of(report(text, {k, k + 3}), 2) == "    " + std::string(10, ' ') + "^~");
}

TEST_CASE("tabs count one and are shown as one blank, so that the caret lines up") {
  CHECK(report("\ta\t= 1\n", {3, 4}) == "f.toml:1:4: error: wrong\n     a = 1\n       ^\n");
}

TEST_CASE("CRLF: the return is no part of the line") {
  const std::string text = "a = 1\r\nb = 2\r\n";
  CHECK(report(text, {11, 12}) == "f.toml:2:5: error: wrong\n    b = 2\n        ^\n");
  CHECK(report(text, {5, 6}) == "f.toml:1:6: error: wrong\n    a = 1\n         ^\n");
}

TEST_CASE("empty file, end of file, no newline at the end") {
  CHECK(report("", {0, 0}) == "f.toml:1:1: error: wrong\n    \n    ^\n");
  CHECK(report("a = ", {4, 4}) == "f.toml:1:5: error: wrong\n    a = \n        ^\n");
  CHECK(report("a = 1\n", {6, 6}) == "f.toml:2:1: error: wrong\n    \n    ^\n");
  CHECK(report("a = 1", {4, 5}) == "f.toml:1:5: error: wrong\n    a = 1\n        ^\n");
}

TEST_CASE("no place: the file alone") {
  CHECK(report("a = 1\n", {}, "something else") == "f.toml: error: wrong\n    right would be: something else\n");
}

TEST_CASE("a span over several lines marks the first to its end") {
  CHECK(report("a = [1,\n2]\n", {4, 10}) == "f.toml:1:5: error: wrong\n    a = [1,\n        ^~~\n");
}

TEST_CASE("long lines are cut to 100 columns around the place") {
  std::string text;
  for (int i = 0; i < 300; ++i) text += static_cast<char>('a' + i % 26);
  for (std::size_t at : {0u, 20u, 49u, 50u, 150u, 249u, 250u, 280u, 299u}) {
    INFO(at);
    const std::string out = report(text, {at, at + 1});
    const std::string line = line_of(out, 1).substr(4), caret = line_of(out, 2).substr(4);
    // an ellipsis of one column may stand at each end
    CHECK(characters(line) >= 100);
    CHECK(characters(line) <= 102);
    CHECK(caret.find('^') + 1 == caret.size());
    const bool cut = line.starts_with("…");
    const std::size_t column = caret.size() - 1;
    const std::string plain = cut ? line.substr(std::string("…").size()) : line;
    CHECK(plain[column - (cut ? 1 : 0)] == text[at]);
  }
  const std::string wide = report(text, {10, 290});
  CHECK(characters(line_of(wide, 2)) <= 106);
}

TEST_CASE("the same in a long line of wide characters") {
  std::string text;
  for (int i = 0; i < 200; ++i) text += "é";
  text[2 * 150] = 'x';
  text.erase(2 * 150 + 1, 1);
  const std::string out = report(text, {300, 301});
  const std::string line = line_of(out, 1).substr(4), caret = line_of(out, 2).substr(4);
  CHECK(out.starts_with("f.toml:1:151: "));
  CHECK(characters(line) <= 102);
  CHECK(characters(line.substr(0, line.find('x'))) == caret.find('^'));
}

TEST_CASE("two places when two conflict; reports in the order of the text") {
  Diagnostics d;
  d.error({6, 7}, "b is like a", "another b", {0, 1}, "a is here");
  d.error({0, 1}, "a is odd", "");
  CHECK(d.to_text("f", "a = 1\nb = 1\n") ==
        "f:1:1: error: a is odd\n    a = 1\n    ^\n"
        "f:2:1: error: b is like a\n    b = 1\n    ^\n    right would be: another b\nf:1:1: a is here\n    a = 1\n    ^\n");
}

TEST_CASE("a place past the end is the end") {
  CHECK(place_of("ab\n", 99).line == 2);
  CHECK(place_of("ab\n", 99).column == 1);
}

TEST_CASE("what is said of a place is said once") {
  Diagnostics d;
  for (int stage = 0; stage < 3; ++stage) d.error({4, 5}, "unknown time zone", "an IANA name");
  d.error({4, 5}, "another fault", "");
  d.error({9, 10}, "unknown time zone", "an IANA name");
  d.error({}, "no place", "");
  d.error({}, "no place", "");
  CHECK(d.all().size() == 5);
}
