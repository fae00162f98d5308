// Which way round, with layouts: both directions at their best, drawn, judged, tried and applied.
#include <catch2/catch.hpp>

#include "board/plan.h"
#include "script.h"
#include "small_job.h"
#include "window/way_edits.h"

namespace rakelight {

TEST_CASE("Which way round: the best of both directions is found, drawn and judged; Try shows it, Apply is one step, and the job is laid that way") {
  const JobFile job("ways");
  Script s(job.path(), 1440, 1600);
  const auto found = [&] { return s.window.found(); };
  s.until([&] { return found() && found()->assessment; });
  CHECK_FALSE(found()->ways);
  s.click("question 3");
  s.until([&] { return found()->ways && s.window.spot("drawing upright") && s.window.spot("drawing horizontal"); });
  const std::shared_ptr<const WaysFound> ways = found()->ways;
  CHECK(ways->surface == "long");
  REQUIRE(ways->looked.size() == 2);
  CHECK(ways->looked[0].option.way.run == Run::horizontal);
  CHECK(ways->looked[1].option.way.run == Run::upright);
  const WayOption& best = ways->ways.winner();
  // the same as the command line's search
  Diagnostics diagnostics;
  const auto read = read_job(JobText(small_job), diagnostics);
  REQUIRE(read);
  const auto study = make_study(*read, diagnostics);
  REQUIRE(study);
  const int face = study->room.find("long");
  const FaceWays again = way_round(*study, face, ShowField(*study, face, "4"));
  CHECK(again.winner().way == best.way);
  CHECK(again.winner().visible == Approx(best.visible));
  // neither direction shows more than the job's own way of that direction
  CHECK(ways->looked[0].option.visible <= again.as_asked.visible + 1e-9);
  REQUIRE_FALSE(best.way == again.as_asked.way);

  const std::string name = best.way.run == Run::horizontal ? "way horizontal" : "way upright";
  const std::string before = s.window.model().history.now().text;
  s.click("try " + name);
  INFO(s.window.model().notice);
  CHECK(s.window.model().history.now().text == before);
  REQUIRE(s.window.model().right_text());
  s.key('Z', true);
  s.click("apply " + name);
  const std::string after = s.window.model().history.now().text;
  CHECK(after != before);
  const auto applied = read_job(JobText(after), diagnostics);
  REQUIRE(applied);
  CHECK(diagnostics.ok());
  const Way way = way_as_asked(*applied, study->room, face);
  CHECK(way.run == best.way.run);
  CHECK(way.length == Approx(best.way.length));
  CHECK(way.first_row == Approx(best.way.first_row));
  CHECK(way.first_sheets.size() == best.way.first_sheets.size());
  const Layout laid = lay_way(*applied, study->room, face, way), meant = lay_way(*read, study->room, face, best.way);
  REQUIRE(laid.joints.size() == meant.joints.size());
  for (std::size_t i = 0; i < laid.joints.size(); ++i) CHECK(glm::length(laid.joints[i].from - meant.joints[i].from) < 1e-4);  // the file has tenths of a millimetre
  s.key('Z', true);
  CHECK(s.window.model().history.now().text == before);
  CHECK(s.window.complaints() == "");
}

TEST_CASE("A way's edits put in what it names and take away what it leaves to the rule") {
  std::string text = small_job;
  text.replace(text.find("level = \"4\""), 11, "level = \"4\"\nfirst_row = 300\nfirst_sheets = [1200, 600]");
  Diagnostics diagnostics;
  const auto job = read_job(JobText(text), diagnostics);
  REQUIRE(job);
  const auto study = make_study(*job, diagnostics);
  REQUIRE(study);
  const int face = study->room.find("long");
  Model m{text};
  REQUIRE(m.edit(way_edits(*study, face, {Run::upright, 2.4, 0, {}})));
  const std::string& now = m.history.now().text;
  CHECK(now.find("run = \"upright\"") != std::string::npos);
  CHECK(now.find("first_row") == std::string::npos);
  CHECK(now.find("first_sheets") == std::string::npos);
  m.undo();
  CHECK(m.history.now().text == text);
  REQUIRE(m.edit(way_edits(*study, face, {Run::horizontal, 3.0, 0.25, {1.8, 0.9}})));
  CHECK(m.history.now().text.find("sheet = [1200, 3000]") != std::string::npos);
  CHECK(m.history.now().text.find("first_row = 250") != std::string::npos);
  CHECK(m.history.now().text.find("first_sheets = [1800, 900]") != std::string::npos);
}

}  // namespace rakelight
