// Damaged job text never crashes the reader: it gives a job, or errors whose places lie in the text.
#include <catch2/catch.hpp>

#include "base/random.h"
#include "job/read.h"
#include "unit/job/helpers.h"

using namespace rakelight;

namespace {

std::size_t pick(Random& random, std::size_t n) { return n == 0 ? 0 : static_cast<std::size_t>(random.uniform() * static_cast<double>(n)); }

bool lies_in(const Span& s, std::size_t size) { return s.begin <= s.end && s.end <= size; }

/// Reads, and checks the promise. Returns whether there was a job.
bool survives(const std::string& text) {
  Diagnostics diagnostics;
  const auto job = read_job(JobText(text), diagnostics);
  bool kept = job.has_value() == diagnostics.ok();
  for (const Diagnostic& d : diagnostics.all())
    kept = kept && lies_in(d.at, text.size()) && (!d.other.known() || lies_in(d.other, text.size())) && !d.wrong.empty() && !d.right.empty();
  if (!diagnostics.all().empty()) kept = kept && !diagnostics.to_text("fuzz.toml", text).empty();
  if (job) kept = kept && assumed(*job).size() < 100000;
  if (!kept) {
    INFO(text);
    CHECK(kept);
  }
  return job.has_value();
}

const std::vector<std::string> pieces{
    "=", "[", "]", "[[", "]]", "{", "}", ",", "\"", "'", "\"\"\"", "'''", "#", "\n", "\r\n", "\r", "\t", ".", "\\", "\\u00e9", "\\UFFFFFFFF",
    "nan", "inf", "-inf", "1e308", "-1e308", "1e-320", "9223372036854775807", "0x7fffffffffffffff", "0b1", "0o7", "1_000", "-0", "-0.0", "true",
    "2026-06-21T20:40:00", "2026-06-21T20:40:00+23:59", "0001-01-01T00:00:00", "9999-12-31T23:59:59.999999999", "07:30:00", "2026-06-21",
    "[[window]]\n", "[room]\n", "[surface.paint]\n", "name = \"x\"\n", "[[moment]]\n", "a.b.c = 1\n", "{ a = { b = [1] } }", "\xEF\xBB\xBF",
    "\xff", "\xc3", "\xe2\x80\xa8", "\xf0\x9f\x92\xa1", "\xed\xa0\x80", std::string(1, '\0'), "\x7f", "é", "none", "\"none\"", "\"long\"", "\"ceiling\"",
    "units = \"inch\"\n", "format = 2\n", "\"8' 6-1/2\\\"\""};

std::string mutated(std::string text, Random& random) {
  const int edits = 1 + static_cast<int>(pick(random, 6));
  for (int i = 0; i < edits; ++i) {
    const std::size_t at = pick(random, text.size() + 1);
    switch (pick(random, 7)) {
      case 0: text.insert(at, pieces[pick(random, pieces.size())]); break;
      case 1: text.erase(at, 1 + pick(random, 12)); break;
      case 2: if (at < text.size()) text[at] = static_cast<char>(random.next() & 0xffu); break;
      case 3: text.insert(at, text.substr(pick(random, text.size() + 1), pick(random, 200))); break;
      case 4: text.erase(at); break;
      case 5: {  // a value for a value: what lies between = and the end of the line
        const std::size_t equals = text.find("= ", at);
        if (equals == std::string::npos) break;
        const std::size_t end = std::min(text.find('\n', equals), text.size());
        text.replace(equals + 2, end - equals - 2, pieces[pick(random, pieces.size())]);
        break;
      }
      default: {  // a line less
        const std::size_t end = text.find('\n', at);
        if (end != std::string::npos) text.erase(at, end - at);
      }
    }
  }
  return text;
}

std::string noise(Random& random) {
  std::string text;
  const std::size_t length = pick(random, 300);
  for (std::size_t i = 0; i < length; ++i) text += static_cast<char>(random.next() & 0xffu);
  return text;
}

std::string shuffled_pieces(Random& random) {
  std::string text;
  const std::size_t count = pick(random, 60);
  for (std::size_t i = 0; i < count; ++i) text += pieces[pick(random, pieces.size())];
  return text;
}

void storm(int count, std::uint64_t seed) {
  Random random(seed);
  int jobs = 0, edits = 0;
  for (int i = 0; i < count; ++i) {
    const int kind = static_cast<int>(pick(random, 10));
    const std::string text = kind < 8 ? mutated(kind % 2 ? starter_job() : example, random) : kind == 8 ? noise(random) : shuffled_pieces(random);
    jobs += survives(text);
    // an edit either changes the text to one that holds the value, or leaves it
    Diagnostics diagnostics;
    const std::string path = kind % 2 ? "site.north" : "surface[0].level";
    const JobText out = JobText(text).with(path, kind % 3 ? pieces[pick(random, pieces.size())] : "12", diagnostics);
    if (diagnostics.ok()) {
      ++edits;
      survives(out.text());
    } else if (out.text() != text) {
      INFO(text);
      CHECK(out.text() == text);
    }
  }
  // enough got through to have tried both ways
  CHECK(jobs > count / 50);
  CHECK(jobs < count);
  CHECK(edits > count / 50);
}

}  // namespace

TEST_CASE("damaged jobs: 2,000") { storm(2000, 20260621); }
TEST_CASE("damaged jobs: 100,000", "[long]") { storm(100000, 20261221); }

TEST_CASE("deep and huge things") {
  auto times = [](const std::string& piece, int n) {
    std::string out;
    for (int i = 0; i < n; ++i) out += piece;
    return out;
  };
  for (const std::string& text :
       {times("[", 100000), "a = " + times("[", 100000), "a = " + times("{a = ", 100000), times("a.", 100000) + "a = 1", "[" + times("a.", 100000) + "a]",
        times("\"a\".", 100000) + "a = 1", "[[" + times("'a'.", 100000) + "a]]", "x = { " + times("\"a,\" . ", 100000) + "a = 1 }", times("a.\t", 100000) + "a = 1",
        times("[a]\n", 1000), "a = " + times("9", 100000), "a = 0." + times("9", 100000), "a = \"" + times("é", 100000) + "\"", times("# x\n", 100000),
        times("k", 100000) + " = 1", times("\n", 100000), "a = [" + times("1,", 100000) + "]", times("\\", 1000), "[room]\nheight = " + times("(", 1000),
        "title = \"\"\"" + times("\"", 1000), "units = \"inch\"\n[room]\nheight = \"" + times("9", 1000) + "'\"\n", times("\xff", 1000),
        times("[[window]]\n", 3000)})
    CHECK_FALSE(survives(text));
}

TEST_CASE("numbers at the edge of what a double holds are refused, not computed with") {
  const std::string room = "[room]\ncorners = [[0,0],[0,3000],[3000,3000]]\nheight = ";
  for (const char* height : {"nan", "-nan", "inf", "-inf", "1e308", "-1e308", "1e-320", "0", "-0.0", "9223372036854775807", "-9223372036854775808"})
    CHECK_FALSE(survives(room + height + "\n"));
  CHECK(survives(room + "2400\n"));
}
