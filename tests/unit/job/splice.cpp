// Edits change one place and leave every other byte.
#include "helpers.h"

#include "base/random.h"
#include "job/keys.h"
#include "job/tree.h"
#include "job/value_splice.h"

using namespace rakelight;

namespace {

std::string set(const std::string& text, const std::string& path, const std::string& value) {
  Diagnostics diagnostics;
  const JobText out = JobText(text).with(path, value, diagnostics);
  INFO(diagnostics.to_text("edit", text));
  CHECK(diagnostics.all().empty());
  return out.text();
}

std::string refused(const std::string& text, const std::string& path, const std::string& value) {
  Diagnostics diagnostics;
  const JobText out = JobText(text).with(path, value, diagnostics);
  CHECK_FALSE(diagnostics.ok());
  CHECK(out.text() == text);
  return diagnostics.to_text("edit", text);
}

/// Paths of every value that stands behind a key or in a list.
void all_paths(const TomlNode& node, const std::string& path, std::vector<std::pair<std::string, Span>>& out) {
  if (node.form == TomlNode::Form::value && !path.empty()) out.emplace_back(path, node.at);
  for (const TomlEntry& e : node.entries) all_paths(e.value, path + (path.empty() ? "" : ".") + e.key, out);
  for (std::size_t i = 0; i < node.items.size(); ++i) all_paths(node.items[i], path + "[" + std::to_string(i) + "]", out);
}

}  // namespace

TEST_CASE("text that is opened and saved is the same text") {
  for (const std::string& text : {example, starter_job(), std::string("not = = toml\xff"), std::string()}) CHECK(JobText(text).text() == text);
}

TEST_CASE("a written value is replaced in place") {
  CHECK(set(example, "site.north", "17") == changed(example, "north = 293", "north = 17"));
  CHECK(set(example, "title", "\"x\"") == changed(example, "\"Top-floor flat, long room\"", "\"x\""));
  CHECK(set(example, "surface[0].paint", "\"matt\"") == changed(example, "{ gloss60 = 4, gloss85 = 8, texture = \"none\" }", "\"matt\""));
  CHECK(set(example, "surface[0].paint.gloss85", "9.5") == changed(example, "gloss85 = 8", "gloss85 = 9.5"));
  CHECK(set(example, "surface[1].run", "\"long\"") == changed(example, "run = \"street\"", "run = \"long\""));
  CHECK(set(example, "room.corners[2][0]", "4300") == changed(example, "[4200,6200]", "[4300,6200]"));
  CHECK(set(example, "moment[1].at", "2026-01-02T03:04:05") == changed(example, "2026-12-21T09:05:30.5+02:30", "2026-01-02T03:04:05"));
}

TEST_CASE("a missing key becomes a line at the end of its table") {
  CHECK(set(example, "joint[0].measured", "\"b1.csv\"") == changed(example, "width = 560\n", "width = 560\nmeasured = \"b1.csv\"\n"));
  CHECK(set(example, "surface[1].level", "\"3\"") == changed(example, "paint = \"flat\"\n", "paint = \"flat\"\nlevel = \"3\"\n"));
  CHECK(set(example, "units", "\"inch\"") == changed(example, "long room\"\n", "long room\"\nunits = \"inch\"\n"));
  CHECK(set("[site]", "site.north", "3") == "[site]\nnorth = 3");
  CHECK(set("[site] # c\n\n[room]\n", "site.north", "3") == "[site] # c\nnorth = 3\n\n[room]\n");
  CHECK(set("# c\n[site]\n", "title", "\"t\"") == "title = \"t\"\n# c\n[site]\n");
  CHECK(set("", "title", "\"t\"") == "title = \"t\"\n");
  CHECK(set("[site]\r\n\tskyline = 3 # s\r\n", "site.north", "3") == "[site]\r\n\tskyline = 3 # s\r\n\tnorth = 3\r\n");
  CHECK(set("site = { skyline = 3 }\n", "site.north", "3") == "site = { skyline = 3, north = 3 }\n");
  CHECK(set("site = {}\n", "site.north", "3") == "site = { north = 3 }\n");
  CHECK(set("[room]\nwalls = [\n  \"a\", # ü\n  \"b\" ]\n[site]\n", "room.height", "2400") == "[room]\nwalls = [\n  \"a\", # ü\n  \"b\" ]\nheight = 2400\n[site]\n");
  // a sub-table's lines are not the table's own
  CHECK(set("[[surface]]\nname = \"A\"\n[surface.paint]\ngloss60 = 3\n", "surface[0].level", "\"4\"") ==
        "[[surface]]\nname = \"A\"\nlevel = \"4\"\n[surface.paint]\ngloss60 = 3\n");
  CHECK(set("[[surface]]\nname = \"A\"\n[surface.paint]\ngloss60 = 3\n", "surface[0].paint.gloss85", "4") ==
        "[[surface]]\nname = \"A\"\n[surface.paint]\ngloss60 = 3\ngloss85 = 4\n");
}

TEST_CASE("of a list only what differs is changed, and the comments within live") {
  const std::string list = "[site]\nskyline = [\n  [0, 3],    # garages\n  [90, 12],  # the church\n  # a gap\n  [180, 4]   # trees\n]  # as seen\n";
  CHECK(set(list, "site.skyline", "[[0, 3], [90, 15], [180, 4]]") == changed(list, "[90, 12]", "[90, 15]"));
  CHECK(set(list, "site.skyline", "[[0, 3], [45, 3], [90, 12], [180, 4]]") == changed(list, "# garages\n", "# garages\n  [45, 3],\n"));
  CHECK(set(list, "site.skyline", "[[0, 3], [90, 12], [180, 4], [270, 5]]") == changed(changed(list, "# trees\n", "# trees\n  [270, 5]\n"), "[180, 4]", "[180, 4],"));
  CHECK(set(list, "site.skyline", "[[0, 3], [180, 4]]") == changed(list, "  [90, 12],  # the church", "  # the church"));
  CHECK(set(list, "site.skyline", "[[0, 3], [90, 12]]") == changed(list, "  [180, 4]   # trees", "  # trees"));
  CHECK(set(list, "site.skyline", "5") == "[site]\n# garages\n# the church\n# a gap\n# trees\nskyline = 5  # as seen\n");
  const std::string line = "walls = [\"a\", 'b', \"c # d\"] # e\n";
  CHECK(set("[room]\n" + line, "room.walls", "[\"a\", \"b\"]") == "[room]\nwalls = [\"a\", 'b'] # e\n");
  CHECK(set("[room]\n" + line, "room.walls", "[\"b\", \"c # d\"]") == "[room]\nwalls = ['b', \"c # d\"] # e\n");
  CHECK(set("[room]\n" + line, "room.walls", "[\"a\", \"x\", \"b\", \"c # d\"]") == "[room]\nwalls = [\"a\", \"x\", 'b', \"c # d\"] # e\n");
  const std::string table = "[[moment]]\nlamps = [\"spot\", { name = \"hand\", dim = 0.5, at = [1, 2,\n3 # high\n] }]\n";
  CHECK(set(table, "moment[0].lamps", "[\"spot\", { name = \"hand\", dim = 0.4, at = [1, 2, 3] }]") == changed(table, "0.5", "0.4"));
  CHECK(set(table, "moment[0].lamps", "[\"spot\", { name = \"hand\", dim = 0.5 }]") == "[[moment]]\n# high\nlamps = [\"spot\", { name = \"hand\", dim = 0.5 }]\n");
}

TEST_CASE("a key is taken out with its line, comments behind and within it stay") {
  const auto without = [](const std::string& text, const std::string& path) {
    Diagnostics diagnostics;
    const JobText out = JobText(text).without(path, diagnostics);
    CHECK(diagnostics.ok());
    return out.text();
  };
  const std::string mark = "\xEF\xBB\xBF";
  CHECK(without(mark + "title = \"t\"\r\nformat = 1\r\n", "title") == mark + "format = 1\r\n");
  CHECK(without("[site]\n\tnorth = 3 # by compass", "site.north") == "[site]\n\t# by compass");
  CHECK(without("[room]\n  walls = [ # w\n 'a', # x\n 'b' ] # y\nheight = 3\n", "room.walls") == "[room]\n  # w\n  # x\n  # y\nheight = 3\n");
  CHECK(without("site = { north = 3, skyline = 4 }\n", "site.skyline") == "site = { north = 3 }\n");
  CHECK(without("site = { north = 3, skyline = 4 }\n", "site.north") == "site = { skyline = 4 }\n");
  CHECK(without(example, "site.declination") == example);
  Diagnostics diagnostics;
  CHECK(JobText(example).without("room", diagnostics).text() == example);
  CHECK_FALSE(diagnostics.ok());
}

TEST_CASE("what cannot be set is refused, and the text stays") {
  CHECK(refused(example, "site.nroth", "3").find("\"north\"") != std::string::npos);
  CHECK(refused(example, "sitee.north", "3").find("\"site\"") != std::string::npos);
  CHECK(refused(example, "surface[0].paint.gloss", "3").find("is not a key of paint") != std::string::npos);
  CHECK(refused(example, "surface[9].level", "\"4\"").find("there is no table") != std::string::npos);
  CHECK(refused(example, "framing.spacing", "600").find("there is no table") != std::string::npos);
  CHECK(refused(example, "room.corners[9]", "[0,0]").find("cannot be set") != std::string::npos);
  for (const char* path : {"", ".", "site.", ".site", "site..north", "surface[", "surface[]", "surface[0", "surface[-1].level", "surface[0]level", "surface[99999999999999999999].level"})
    CHECK(refused(example, path, "3").find("edit: error: ") != std::string::npos);
  for (const char* value : {"", " ", "x", "\"open", "[1", "1\n", "1 # c", "1, north = 3", "1\n[x]", "1\ny = 2", "2026-02-30", "\xff"})
    CHECK(refused(example, "site.north", value).find("is not a value") != std::string::npos);
  refused("broken = = 1\n", "title", "\"t\"");
  CHECK(refused("site.skyline = 3\n", "site.north", "3").find("by hand") != std::string::npos);
}

TEST_CASE("each value's text reads as the value: spans are exact") {
  for (const std::string& text : {example, starter_job()}) {
    Diagnostics diagnostics;
    const auto file = parse_tree(text, diagnostics);
    REQUIRE(file);
    std::vector<std::pair<std::string, Span>> paths;
    all_paths(*file, "", paths);
    CHECK(paths.size() > 60);
    for (const auto& [path, at] : paths) {
      const auto value = parse_value(std::string_view(text).substr(at.begin, at.end - at.begin));
      INFO(path);
      REQUIRE(value);
      CHECK((value->at.begin == 0 && value->at.end == at.end - at.begin));
    }
  }
}

TEST_CASE("random edits keep every other byte") {
  Random random(20260621);
  const std::vector<std::string> values{"1", "-2.5e3", "\"é # [ ] { } =\"", "[1, [2, \"]\"], {a = 1}]", "{ x = 'y', z = [ ] }", "true",
                                        "2026-06-21T20:40:00Z", "'''a\nb'''", "\"\"\"q\\\"\"\"\"", "[\n 1, # one ] \n 2 ]", "0xFF", "07:30:00", "+inf"};
  auto pick = [&](std::size_t n) { return static_cast<std::size_t>(random.uniform() * static_cast<double>(n)); };
  int replaced = 0, added = 0;
  for (int run = 0; run < 40; ++run) {
    std::string text = run % 2 ? example : starter_job();
    if (run % 3 == 0) {
      std::string crlf;
      for (char c : text) crlf += c == '\n' ? "\r\n" : std::string(1, c);
      text = crlf;
    }
    for (int edit = 0; edit < 25; ++edit) {
      Diagnostics diagnostics;
      const auto file = parse_tree(text, diagnostics);
      REQUIRE(file);
      const std::string& value = values[pick(values.size())];
      if (random.uniform() < 0.6) {
        std::vector<std::pair<std::string, Span>> paths;
        all_paths(*file, "", paths);
        const auto& [path, at] = paths[pick(paths.size())];
        const JobText out = JobText(text).with(path, value, diagnostics);
        // a value made of values may hold keys that no table knows
        if (!diagnostics.ok()) {
          CHECK(out.text() == text);
          continue;
        }
        // before the value only comments that were within may have come, on lines of their own; behind it nothing changes
        const std::string& now = out.text();
        CHECK(now.substr(0, line_begin(text, at.begin)) == text.substr(0, line_begin(text, at.begin)));
        CHECK(now.ends_with(text.substr(at.end)));
        if (comments_in(text, at).empty() && value[0] != '[' && value[0] != '{') CHECK(now == text.substr(0, at.begin) + value + text.substr(at.end));
        for (const std::string& comment : comments_in(text, {0, text.size()})) CHECK(now.find(comment) != std::string::npos);
        text = now;
        ++replaced;
      } else {
        const KeyRow& row = key_rows()[pick(key_rows().size())];
        const bool many = !row.table.empty() && row.table != "surface.paint" && (row.table == "window" || row.table == "lamp" || row.table == "surface" || row.table == "moment");
        const std::string path = (row.table.empty() ? "" : std::string(row.table) + (many ? "[0]." : ".")) + std::string(row.key);
        const JobText out = JobText(text).with(path, value, diagnostics);
        if (!diagnostics.ok()) {
          CHECK(out.text() == text);
          continue;
        }
        // only one stretch may differ: the common front and the common back cover the rest of the old text
        const std::string& now = out.text();
        std::size_t front = 0, back = 0;
        while (front < text.size() && front < now.size() && text[front] == now[front]) ++front;
        while (back < text.size() - front && back < now.size() - front && text[text.size() - 1 - back] == now[now.size() - 1 - back]) ++back;
        if (now.size() > text.size() && text.size() == front + back) ++added;
        if (text.size() == front + back) CHECK(now.size() - front - back <= std::string(row.key).size() + value.size() + 8);
        text = now;
      }
    }
  }
  CHECK(replaced > 200);
  CHECK(added > 50);
}
