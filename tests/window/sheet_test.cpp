// Everything that a job holds is edited by rows: the text, the words of what is wrong, undo. The last cases drive the window.
#include <catch2/catch.hpp>

#include <cstdlib>
#include <fmt/format.h>

#include "base/inches.h"
#include "base/random.h"
#include "base/units.h"
#include "job/values.h"
#include "script.h"
#include "small_job.h"
#include "window/job_values.h"
#include "window/outline.h"
#include "window/sheet_edits.h"
#include "window/words.h"

namespace rakelight {
namespace {

const KeyRow& row_of(const char* table, const char* key) { return *find_key(table, key); }

bool set(Model& m, SheetDesk& desk, const TablePlace& place, const char* key, const std::vector<std::string>& fields) { return set_fields(m, desk, place, row_of(place.name().c_str(), key), fields); }

std::string with(std::string text, const std::string& from, const std::string& to) {
  const auto at = text.find(from);
  if (at == std::string::npos) throw std::runtime_error("there is no " + from);
  return text.replace(at, from.size(), to);
}

std::unique_ptr<Study> study_of(const std::string& text) {
  Diagnostics diagnostics;
  const auto job = read_job(JobText(text), diagnostics);
  return job ? make_study(*job, diagnostics) : nullptr;
}

}  // namespace

TEST_CASE("A key is set where it stands, added to its table, or taken out; the comment behind it stays") {
  Model m{small_job};
  SheetDesk desk;
  REQUIRE(set(m, desk, {"window", 0, ""}, "from_left", {"400"}));
  CHECK(m.history.now().text == with(small_job, "from_left = 250 ", "from_left = 400 "));
  m.undo();
  REQUIRE(set(m, desk, {"window", 0, ""}, "frame", {"60"}));
  CHECK(m.history.now().text == with(small_job, "height = 1200\n", "height = 1200\nframe = 60\n"));
  REQUIRE(set(m, desk, {"window", 0, ""}, "frame", {""}));
  CHECK(m.history.now().text == small_job);
  REQUIRE(set(m, desk, {"verdict", -1, ""}, "age", {"60"}));
  CHECK(m.history.now().text == std::string(small_job) + "\n[verdict]\nage = 60\n");
  REQUIRE(set(m, desk, {}, "title", {"Another \"room\""}));
  CHECK(m.history.now().text.find("title = \"Another \\\"room\\\"\"") != std::string::npos);
  for (int i = 0; i < 4; ++i) m.undo();
  CHECK(m.history.now().text == small_job);
  // an optional key with a comment behind it
  const std::string noted = with(small_job, "level = \"4\"\n", "level = \"4\"   # agreed on Monday\n");
  Model n{noted};
  REQUIRE(set(n, desk, {"surface", 0, ""}, "level", {""}));
  CHECK(n.history.now().text == with(noted, "level = \"4\"   # agreed on Monday\n", "# agreed on Monday\n"));
}

TEST_CASE("A paint that is a word becomes a table that says the same and more") {
  Model m{small_job};
  SheetDesk desk;
  REQUIRE(set(m, desk, {"surface", 0, "paint"}, "sealer", {"one coat"}));
  CHECK(m.history.now().text == with(small_job, "paint = \"matt\"", "paint = { class = \"matt\", sealer = \"one coat\" }"));
  REQUIRE(set(m, desk, {"surface", 0, "paint"}, "applied", {"rolled"}));
  REQUIRE(set(m, desk, {"surface", 0, "paint"}, "sealer", {""}));
  CHECK(m.history.now().text == with(small_job, "paint = \"matt\"", "paint = { class = \"matt\", applied = \"rolled\" }"));
}

TEST_CASE("A value that cannot be stays as it was typed, with the words of check") {
  Model m{small_job};
  SheetDesk desk;
  CHECK_FALSE(set(m, desk, {"window", 0, ""}, "from_left", {"2500"}));
  CHECK(m.history.now().text == small_job);
  CHECK_FALSE(m.history.can_undo());
  const auto& wrong = desk.wrong.at("window[0].from_left");
  CHECK(wrong.fields == std::vector<std::string>{"2500"});
  Diagnostics said;
  check_text(JobText(with(small_job, "from_left = 250 ", "from_left = 2500 ")), {}, said);
  REQUIRE_FALSE(said.ok());
  CHECK(wrong.said.find(said.all().front().wrong) == 0);
  CHECK(wrong.said.find("right would be: " + said.all().front().right) != std::string::npos);
  // words of a value that is no number at all are those of the key
  CHECK_FALSE(set(m, desk, {"window", 0, ""}, "sill", {"2,5 m"}));
  CHECK(desk.wrong.at("window[0].sill").said.find("sill of [[window]] cannot be \"2,5 m\"") == 0);
  CHECK(desk.wrong.at("window[0].sill").said.find("a length from 0 to 20000 mm") != std::string::npos);
  // what waits stands as soon as it fits: narrower, it may begin there
  CHECK(set(m, desk, {"window", 0, ""}, "width", {"400"}));  // alone: the sill still does not
  CHECK(m.history.now().text.find("from_left = 250 ") != std::string::npos);
  REQUIRE(set(m, desk, {"window", 0, ""}, "sill", {"700"}));
  CHECK(desk.wrong.empty());
  CHECK(m.history.now().text.find("from_left = 2500 ") != std::string::npos);
  CHECK(m.history.now().text.find("width = 400") != std::string::npos);
  m.undo();
  m.undo();
  CHECK(m.history.now().text == small_job);
  // two keys that go together
  Model n{with(small_job, "latitude = 55.95\nlongitude = -3.19\n", "")};
  CHECK_FALSE(set(n, desk, {"site", -1, ""}, "latitude", {"50"}));
  CHECK(set(n, desk, {"site", -1, ""}, "longitude", {"8"}));
  CHECK(n.history.now().text.find("latitude = 50") != std::string::npos);
}

TEST_CASE("A job that is broken is put right in the sheet, one value at a time") {
  Model m{with(with(small_job, "wall = \"street\"", "wall = \"stret\""), "height = 2400", "height = 24")};
  SheetDesk desk;
  REQUIRE(set(m, desk, {"room", -1, ""}, "height", {"2400"}));
  REQUIRE(set(m, desk, {"window", 0, ""}, "wall", {"street"}));
  CHECK(m.history.now().text == small_job);
}

TEST_CASE("What is typed becomes TOML, by the kind of the key") {
  const auto value = [](const char* table, const char* key, std::vector<std::string> fields, Units units = Units::millimetre) { return value_of_fields(row_of(table, key), units, fields); };
  CHECK(value("room", "height", {" 2400 "}) == "2400");
  CHECK(value("room", "height", {"8' 2-1/2\""}, Units::inch) == "\"8' 2-1/2\\\"\"");
  CHECK(value("room", "height", {"98-1/2"}, Units::inch) == "\"98-1/2\\\"\"");
  CHECK(value("room", "height", {"tall"}) == "\"tall\"");
  CHECK(value("lamp", "at", {"1", "2", "2400"}) == "[1, 2, 2400]");
  CHECK(value("surface", "sheet", {"1200", "2400"}) == "[1200, 2400]");
  CHECK(value("surface", "lengths", {"2400, 3000"}) == "[2400, 3000]");
  CHECK(value("room", "walls", {"a, b , c"}) == "[\"a\", \"b\", \"c\"]");
  CHECK(value("finishing", "compound", {"setting"}) == "\"setting\"");
  CHECK(value("finishing", "compound", {"setting, drying"}) == "[\"setting\", \"drying\"]");
  CHECK(value("moment", "at", {"2026-06-21 20:40"}) == "2026-06-21T20:40:00");
  CHECK(value("moment", "at", {"2026-06-21T20:40:00+01:00"}) == "2026-06-21T20:40:00+01:00");
  CHECK(value("moment", "at", {"soon"}) == "\"soon\"");
  CHECK(value("moment", "lamps", {"on"}) == "\"on\"");
  CHECK(value("moment", "lamps", {"spot, { name = \"a\", dim = 0.4 }"}) == "[\"spot\", { name = \"a\", dim = 0.4 }]");
  CHECK(value("viewer", "look", {"long"}) == "\"long\"");
  CHECK(value("viewer", "look", {"1, 2, 3"}) == "[1, 2, 3]");
  CHECK(value("site", "haze", {"3.1"}) == "3.1");
  CHECK(value("site", "haze", {"clear"}) == "\"clear\"");
  CHECK(value("site", "skyline", {"[[80, 4], [120, 15]]"}) == "[[80, 4], [120, 15]]");
  CHECK(value("access", "hoist", {"true"}) == "true");
  CHECK(value("room", "height", {""}).empty());
  // and back: every default of the table shows as what would be typed for it
  for (const KeyRow& row : key_rows()) {
    if (row.standard.empty() || row.status == KeyRow::Status::later) continue;
    INFO(row.table << "." << row.key);
    const auto fields = usual_fields(row, Units::millimetre);
    const auto typed = parse_value(value_of_fields(row, Units::millimetre, fields)), standard = parse_value(row.standard);
    REQUIRE(typed);
    CHECK(typed->text == standard->text);
    CHECK(typed->number == standard->number);
    CHECK(typed->items.size() == standard->items.size());
  }
}

TEST_CASE("Entries are added where they fit and taken out whole") {
  Model m{small_job};
  SheetDesk desk;
  const auto study = study_of(small_job);
  REQUIRE(study);
  for (const TableRow& table : table_rows()) {
    if (!table.many) continue;
    INFO(table.name << ": " << m.notice);
    const std::string before = m.history.now().text;
    const int count = entry_count(*tree_of(desk, m), std::string(table.name));
    const int index = add_entry(m, desk, std::string(table.name), study.get());
    REQUIRE(index == count);
    CHECK(entry_count(*tree_of(desk, m), std::string(table.name)) == count + 1);
    REQUIRE(remove_entry(m, desk, std::string(table.name), index));
    CHECK(m.history.now().text == before);
  }
  while (m.history.can_undo()) m.undo();
  CHECK(m.history.now().text == small_job);
  // from the middle, with lines of comment before the next left where they are
  Model n{std::string(small_job) + "\n[[viewer]]\nname = \"stool\"\neye = [2000, 900, 1200]\nlook = \"long\"\n# the last one\n[[viewer]]\nname = \"step\"\neye = [2100, 900, 1900]\nlook = \"long\"\n"};
  REQUIRE(remove_entry(n, desk, "viewer", 1));
  CHECK(n.history.now().text == std::string(small_job) + "\n# the last one\n[[viewer]]\nname = \"step\"\neye = [2100, 900, 1900]\nlook = \"long\"\n");
}

TEST_CASE("Hundreds of random edits through the sheet: the job stays sound, comments live, undo brings the very bytes back") {
  Random random(20);
  const auto pick = [&](std::size_t count) { return static_cast<std::size_t>(random.uniform() * static_cast<double>(count)); };
  std::string start = with(small_job, "sill = 800\n", "sill = 800 # the sill board\n");
  start = with(start, "run = \"horizontal\"\n", "  run = \"horizontal\"\t# as on the drawing\n");
  Model m{start};
  SheetDesk desk;
  const auto study = study_of(start);
  std::vector<std::string> steps{start};
  int stood = 0, refused = 0;
  for (int i = 0; i < 600; ++i) {
    const auto tree = tree_of(desk, m);
    REQUIRE(tree);
    const double what = random.uniform();
    const TableRow& table = table_rows()[pick(table_rows().size())];
    const std::string name(table.name);
    const int count = entry_count(*tree, name);
    if (what < 0.08 && table.many && count < 6) {
      add_entry(m, desk, name, study.get());
    } else if (what < 0.12 && table.many && count > 1) {
      remove_entry(m, desk, name, static_cast<int>(pick(static_cast<std::size_t>(count))));
    } else if (what < 0.2) {
      const auto corners = study->job.room.corners.value;
      m.edit({{"room", "", fmt::format("corners[{}]", pick(4)), place_value(Units::millimetre, corners[pick(4)] + dvec2(random.uniform(-0.2, 0.2), 0))}});
    } else {
      if (table.many && count == 0) continue;
      std::vector<const KeyRow*> rows;
      for (const KeyRow& row : key_rows())
        if (row.table == name || row.table.substr(0, row.table.find('.')) == name) rows.push_back(&row);
      const KeyRow& row = *rows[pick(rows.size())];
      if (row.status == KeyRow::Status::later || row.table == "moment.lamps") continue;
      const auto dot = row.table.find('.');
      const TablePlace place{name, table.many ? static_cast<int>(pick(static_cast<std::size_t>(count))) : -1, dot == row.table.npos ? "" : std::string(row.table.substr(dot + 1))};
      std::vector<std::string> fields = usual_fields(row, Units::millimetre);
      const auto offered = choices(row, study.get());
      if (!offered.empty() && random.uniform() < 0.7) fields = {offered[pick(offered.size())]};
      else if (fields.empty() || random.uniform() < 0.6) {
        fields.assign(static_cast<std::size_t>(field_count(row)), "");
        if (random.uniform() < 0.8)
          for (std::string& f : fields) f = std::to_string(static_cast<int>(random.uniform() < 0.5 ? random.uniform(0, 10) : random.uniform(0, 3000)));
      }
      (set_fields(m, desk, place, row, fields) ? stood : refused) += 1;
      if (!m.history.can_undo()) continue;
    }
    const std::string& now = m.history.now().text;
    if (now == steps.back()) continue;
    steps.push_back(now);
    if (steps.size() % 20 == 0) {
      Diagnostics diagnostics;
      check_text(JobText(now), {}, diagnostics);
      INFO(diagnostics.to_text("job", now));
      REQUIRE(diagnostics.ok());
      for (const char* comment : {"# comments stay where they are"}) REQUIRE(now.find(comment) != std::string::npos);
    }
  }
  CHECK(stood > 50);
  CHECK(refused > 20);
  for (std::size_t i = steps.size(); i-- > 0;) {
    REQUIRE(m.history.now().text == steps[i]);
    if (i > 0) m.undo();
  }
  CHECK(m.history.now().text == start);
  CHECK_FALSE(m.history.can_undo());
}

TEST_CASE("The outline walked round: lengths, turns, and one wall made longer") {
  const std::vector<dvec2> square{{0, 0}, {0, 3}, {2, 3}, {2, 0}};
  const auto legs = legs_of(square);
  REQUIRE(legs.size() == 4);
  CHECK(legs[0].length == Approx(3));
  CHECK(legs[1].length == Approx(2));
  for (const Leg& leg : legs) CHECK(leg.turn == Approx(90));
  const auto longer = with_length(square, 0, 4);
  REQUIRE(longer);
  CHECK(*longer == std::vector<dvec2>{{0, 0}, {0, 4}, {2, 4}, {2, 0}});
  // an L: the re-entrant corner turns left, and a short wall takes its own share alone
  const std::vector<dvec2> ell{{0, 0}, {0, 4}, {2, 4}, {2, 2}, {3, 2}, {3, 0}};
  CHECK(legs_of(ell)[2].turn == Approx(-90));
  const auto deeper = with_length(ell, 1, 2.5);
  REQUIRE(deeper);
  CHECK((*deeper)[2] == dvec2(2.5, 4));
  CHECK((*deeper)[3] == dvec2(2.5, 2));
  double turned = 0;
  for (const Leg& leg : legs_of(*deeper)) turned += leg.turn;
  CHECK(turned == Approx(360));
  CHECK_FALSE(with_length(square, 0, 0));
}

TEST_CASE("Feet and inches are written as they are read") {
  CHECK(feet_text(0) == "0\"");
  CHECK(feet_text(12 * 0.0254) == "1'");
  CHECK(feet_text(102.5 * 0.0254) == "8' 6-1/2\"");
  CHECK(feet_text(-0.875 * 0.0254) == "-7/8\"");
  CHECK(feet_text(60.0625 * 0.0254) == "5' 0-1/16\"");
  CHECK(feet_text(11.99 * 0.0254) == "1'");  // to the next sixteenth
  CHECK(inches_text(102.5 * 0.0254) == "102-1/2\"");
  Random random(4);
  for (int i = 0; i < 500; ++i) {
    const double metres = random.uniform(-20, 20);
    const auto inches = inches_from_text(feet_text(metres, 64));
    REQUIRE(inches);
    REQUIRE(std::abs(*inches * mm_per_inch - metres * mm_per_m) <= 0.5 * mm_per_inch / 64 + 1e-9);
  }
}

TEST_CASE("The sheet in the window: typed, chosen, ticked, answered in place, taken out, added") {
  const JobFile job("sheet");
  Script s(job.path(), 1280, 1000);  // the rows that are used stand without scrolling
  s.until([&] { return s.window.found() && s.window.found()->study; });
  const Model& m = s.window.model();
  s.key('E');
  s.frames(3);
  s.click("section window");
  s.fill("key window[0].from_left", "400");
  CHECK(m.history.now().text == with(small_job, "from_left = 250 ", "from_left = 400 "));
  s.fill("key window[0].width", "2900");
  CHECK(m.history.now().text == with(small_job, "from_left = 250 ", "from_left = 400 "));
  s.frames(2);
  REQUIRE(s.window.spot("said window[0].width"));
  s.fill("key window[0].width", "1100");
  s.frames(2);
  CHECK_FALSE(s.window.spot("said window[0].width"));
  CHECK(m.history.now().text.find("width = 1100") != std::string::npos);
  s.click("section finishing");
  s.frames(2);
  s.click("key finishing.sanding");
  s.frames(2);
  s.click("choice finishing.sanding none");
  CHECK(m.history.now().text.find("sanding = \"none\"") != std::string::npos);
  s.frames(2);
  s.click("reset finishing.sanding");
  CHECK(m.history.now().text.find("sanding") == std::string::npos);
  s.click("section access");
  s.frames(2);
  s.click("key access.hoist");
  CHECK(m.history.now().text.find("[access]\nhoist = true\n") != std::string::npos);
  s.click("section lamp");
  s.frames(2);
  s.click("add lamp");
  CHECK(m.history.now().text.find("name = \"L2\"") != std::string::npos);
  s.frames(2);
  s.click("remove lamp");
  CHECK(m.history.now().text.find("name = \"L2\"") == std::string::npos);
  s.click("section room");
  s.frames(2);
  s.fill("key room.length[0]", "3800");
  CHECK(m.history.now().text.find("corners = [[0, 0], [0, 3800], [3000, 3800], [3000, 0]]") != std::string::npos);
  for (int i = 0; i < 8; ++i) s.key('Z', true);
  CHECK(m.history.now().text == small_job);
  s.key(press::escape);
  CHECK_FALSE(m.sheet);
  CHECK(s.window.complaints() == "");
}

TEST_CASE("A corner dragged in plan takes its walls along square; one undo step") {
  const JobFile job("corner");
  Script s(job.path(), 1280, 800);
  s.until([&] { return s.window.found() && s.window.found()->study; });
  const Model& m = s.window.model();
  s.key('P');
  s.frames(3);
  s.drag(s.spot("plan corner 3").middle(), s.spot("plan corner 3").middle() + dvec2(30, -20));
  Diagnostics diagnostics;
  const auto moved = read_job(JobText(m.history.now().text), diagnostics);
  REQUIRE(moved);
  const std::vector<dvec2>& corners = *moved->room.corners;
  CHECK(corners[0] == dvec2(0, 0));
  CHECK(corners[2].x > 3.0);
  CHECK(corners[2].y > 3.6);
  CHECK(corners[1] == dvec2(0, corners[2].y));
  CHECK(corners[3] == dvec2(corners[2].x, 0));
  s.key('Z', true);
  CHECK(m.history.now().text == small_job);
  CHECK(s.window.complaints() == "");
}

TEST_CASE("In a job in inches a dragged corner lands on half inches") {
  const std::string inches = with(with(with(with(with(with(small_job, "format = 1\n", "format = 1\nunits = \"inch\"\n"), "[[0, 0], [0, 3600], [3000, 3600], [3000, 0]]", "[[0, 0], [0, \"12'\"], [\"10'\", \"12'\"], [\"10'\", 0]]"), "height = 2400", "height = 96"),
                                       "from_left = 250 ", "from_left = 10 "), "sill = 800\nwidth = 1200\nheight = 1200", "sill = 32\nwidth = 48\nheight = 48"),
                                 "at = [250, 1800, 2400]", "at = [10, 70, 96]");
  const JobFile job("inch-corner", with(with(inches, "sheet = [1200, 2400]", "sheet = [48, 96]"), "eye = [2400, 600, 1500]", "eye = [90, 24, 60]"));
  Script s(job.path(), 1280, 800);
  s.until([&] { return s.window.found() && s.window.found()->study; });
  s.key('P');
  s.frames(3);
  s.drag(s.spot("plan corner 3").middle(), s.spot("plan corner 3").middle() + dvec2(31, -23));
  Diagnostics diagnostics;
  const auto moved = read_job(JobText(s.window.model().history.now().text), diagnostics);
  REQUIRE(moved);
  const dvec2 corner = (*moved->room.corners)[2] / 0.0254;
  CHECK(corner.x > 120);
  CHECK(corner.y > 144);
  for (const double inch : {corner.x, corner.y}) CHECK(std::abs(2 * inch - std::round(2 * inch)) < 1e-9);
  CHECK(s.window.complaints() == "");
}

TEST_CASE("A picture of the sheet", "[.pictures]") {
  const char* folder = std::getenv("RAKELIGHT_WINDOW_PICTURES");
  REQUIRE(folder);
  Script s("", 1280, 800);
  s.until([&] { return s.window.found() && s.window.found()->assessment; });
  s.key('E');
  s.click("section window");
  s.fill("key window[0].width", "4100");
  s.in.mouse = dvec2(700, 70);
  s.settle(900);
  s.save_screen(std::string(folder) + "/window-sheet.png");
}

TEST_CASE("Pictures of every section of the sheet to look at, in any language and either unit", "[.look]") {
  const char* folder = std::getenv("RAKELIGHT_WINDOW_MORE");
  REQUIRE(folder);
  const char* code = std::getenv("RAKELIGHT_WINDOW_LANGUAGE");
  const char* job = std::getenv("RAKELIGHT_WINDOW_JOB");
  Script s(job ? job : "", 1280, 800, code ? code : "en");
  s.until([&] { return s.window.found() && s.window.found()->study; });
  s.key('E');
  SheetDesk desk;
  std::vector<std::string> sections{""};
  for (const TableRow& table : table_rows()) sections.emplace_back(table.name);
  for (const std::string& section : sections) {
    s.click("section " + section);
    if (section == "moment") s.click(fmt::format("entry moment {}", entry_count(*tree_of(desk, s.window.model()), "moment") - 1));
    s.in.mouse = dvec2(700, 70);
    s.frames(3);
    s.save_screen(fmt::format("{}/section-{}.png", folder, section.empty() ? "top" : section));
  }
}

}  // namespace rakelight
