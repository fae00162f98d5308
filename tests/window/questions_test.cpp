// The four questions, by the inputs that a person gives. Pictures of them are left where RAKELIGHT_WINDOW_PICTURES says.
#include <catch2/catch.hpp>
#include <cstdlib>

#include "script.h"
#include "small_job.h"
#include "window/words.h"

namespace rakelight {

namespace {
}  // namespace

TEST_CASE("When does it show: scrubbing, keys and the jump to the worst move time and picture together") {
  const JobFile job("when");
  Script s(job.path(), 960, 640);
  s.until([&] { return judged(s); });
  s.settle();
  const std::string worst = s.window.pictures()->moment_text;
  CHECK(worst.find("evening sun") == 0);
  s.key(press::right);
  CHECK(s.window.model().moment->time->day == 22);
  s.key(press::down);
  CHECK(s.window.model().moment->time->minute == 45);
  // the middle of the chart is a day in early July
  s.drag(s.spot("year").middle(), s.spot("year").middle() + dvec2(30, 0));
  CHECK(s.window.model().moment->time->month >= 7);
  s.settle();
  CHECK(s.window.pictures()->moment_text != worst);
  CHECK(s.window.model().moving == false);
  const LocalTime before = *s.window.model().moment->time;
  s.fill("date", "2026-02-31");  // no such day
  CHECK(s.window.model().notice == "2026-02 has no such day");
  CHECK(s.window.model().moment->time->month == before.month);
  CHECK(s.window.model().moment->time->day == before.day);
  s.fill("date", "2026-02-28");
  CHECK(s.window.model().moment->time->month == 2);
  CHECK(s.window.model().moment->time->day == 28);
  s.key('W');
  s.settle();
  CHECK(s.window.pictures()->moment_text == worst);
  CHECK(s.window.model().place->viewer == "chair");
  CHECK_FALSE(s.window.model().history.can_undo());  // looking changes no job
  CHECK(s.window.complaints() == "");
}

TEST_CASE("Which finish, which way round: a pair across the divider with both verdicts; Space swaps, K keeps") {
  const JobFile job("pair");
  Script s(job.path(), 960, 640);
  s.until([&] { return judged(s); });
  s.click("question 2");
  s.key('P', true);  // the other half cannot be there yet
  CHECK(s.window.model().notice.find("still being drawn") != std::string::npos);
  CHECK_FALSE(std::filesystem::exists(job.folder / "job-pair-1.png"));
  REQUIRE(s.window.model().right_text());
  CHECK(s.window.model().right_text()->find("level = \"5\"") != std::string::npos);
  s.settle();
  REQUIRE(s.window.pictures()->right);
  CHECK(s.window.pictures()->left->pixels != s.window.pictures()->right->pixels);
  s.in.keys[press::space] = true;
  s.frame();
  CHECK(s.window.model().swapped);
  s.in.keys.reset();
  s.frame();
  CHECK_FALSE(s.window.model().swapped);
  const double before = s.window.model().divider;
  s.drag(s.spot("divider").middle(), s.spot("divider").middle() + dvec2(80, 0));
  CHECK(s.window.model().divider > before + 0.05);
  s.settle();
  s.key('P', true);
  s.settle();
  INFO(s.window.model().notice);
  CHECK(std::filesystem::exists(job.folder / "job-pair-1.png"));
  s.key('K');
  CHECK_FALSE(s.window.model().right_text());
  CHECK(s.window.model().history.now().text.find("level = \"5\"") != std::string::npos);
  s.key('Z', true);
  CHECK(s.window.model().history.now().text == small_job);

  s.until([&] { return judged(s); });
  s.key('3');
  REQUIRE(s.window.model().right_text());
  CHECK(s.window.model().right_text()->find("run = \"upright\"") != std::string::npos);
  CHECK(s.window.model().place->facing == "long");
  CHECK(s.window.model().outlines);
  s.settle();
  CHECK(s.window.complaints() == "");
}

TEST_CASE("I measured a joint: a gap under a rule becomes the hands' crown, one step, and every joint is judged anew") {
  const JobFile job("measured");
  Script s(job.path(), 960, 640);
  s.until([&] { return judged(s); });
  s.key('4');
  s.key('J');  // this window is narrow enough for the findings to be a drawer
  s.frames(3);
  s.fill("measured gap", "0.6");
  CHECK(s.window.model().gap == Approx(0.0006));
  std::optional<PlacedJoint> joint;
  for (const SurfaceResult& r : s.window.found()->assessment->surfaces)
    for (const JointResult& j : r.joints)
      if (j.joint.line.id == s.window.model().joint) joint = j.joint;
  REQUIRE(joint);
  s.click("use gap");
  s.until([&] { return s.window.model().history.can_undo(); });
  INFO(s.window.model().notice);
  const std::string& text = s.window.model().history.now().text;
  const auto value = text.find("_crown = [");
  REQUIRE(value != std::string::npos);
  SectionFigures figures = joint->figures;
  figures.crown = std::stod(text.substr(value + 10)) / 1000;
  // the file has the crown to a micrometre, and the rule is read at samples
  CHECK(read_rule(face_of(make_section(joint->recipe, figures)), Held::balanced, s.window.model().base, 0).gap == Approx(0.0006).margin(3e-6));
  s.until([&] { return judged(s); });
  s.key('Z', true);
  CHECK(s.window.model().history.now().text == small_job);
  CHECK(s.window.complaints() == "");
}

}  // namespace rakelight
