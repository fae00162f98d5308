// What the window knows without a window: edits, undo, times, measured joints.
#include <catch2/catch.hpp>

#include "joint/straightedge.h"
#include "small_job.h"
#include "window/keys.h"
#include "window/measured.h"
#include "window/model.h"

namespace rakelight {

TEST_CASE("An edit changes one place and undo brings the bytes back") {
  Model m{small_job};
  REQUIRE(m.edit({{"window", "W1", "from_left", "400"}}));
  std::string expected = small_job;
  expected.replace(expected.find("from_left = 250"), 15, "from_left = 400");
  CHECK(m.history.now().text == expected);
  CHECK(m.changed());
  m.undo();
  CHECK(m.history.now().text == small_job);
  CHECK_FALSE(m.changed());
  m.redo();
  CHECK(m.history.now().text == expected);
}

TEST_CASE("A drag is one undo step, however many places it passed") {
  Model m{small_job};
  for (int mm = 260; mm <= 400; mm += 10) REQUIRE(m.attempt({{"window", "W1", "from_left", std::to_string(mm)}}));
  CHECK(m.history.trying());
  m.settle();
  m.undo();
  CHECK(m.history.now().text == small_job);
  CHECK_FALSE(m.history.can_undo());
}

TEST_CASE("An edit that the job cannot take is refused, and why is said") {
  Model m{small_job};
  CHECK_FALSE(m.edit({{"window", "W1", "from_left", "2500"}}));  // 2500 + 1200 > 3000 mm of wall
  CHECK(m.history.now().text == small_job);
  CHECK(m.notice.find("not done") == 0);
  CHECK(m.notice.find("W1") != std::string::npos);
  CHECK_FALSE(m.edit({{"window", "no such", "width", "100"}}));
  CHECK_FALSE(m.edit({{"surface", "long", "run", "\"slanted\""}}));
}

TEST_CASE("A joint that the file does not name yet is added at its end") {
  Model m{small_job};
  REQUIRE(m.edit({{"joint", "long/B1", "width", "700"}}));
  CHECK(m.history.now().text == std::string(small_job) + "\n[[joint]]\nid = \"long/B1\"\nwidth = 700\n");
  REQUIRE(m.edit({{"joint", "long/B1", "width", "800"}}));
  CHECK(m.history.now().text == std::string(small_job) + "\n[[joint]]\nid = \"long/B1\"\nwidth = 800\n");
}

TEST_CASE("The right side is the job with what differs; keeping it is one step") {
  Model m{small_job};
  CHECK_FALSE(m.right_text());
  REQUIRE(m.edit({{"surface", "long", "level", "\"5\""}}, true));
  CHECK(m.history.now().text == small_job);
  REQUIRE(m.right_text());
  CHECK(m.right_text()->find("level = \"5\"") != std::string::npos);
  // what changes at the left changes at the right too
  REQUIRE(m.edit({{"window", "W1", "sill", "900"}}));
  CHECK(m.right_text()->find("sill = 900") != std::string::npos);
  m.keep_side(true);
  CHECK_FALSE(m.right_text());
  CHECK(m.history.now().text.find("level = \"5\"") != std::string::npos);
  m.undo();
  CHECK(m.right_text());
}

TEST_CASE("Clock times move over midnight, months, leap days and years") {
  LocalTime t;
  t.year = 2028, t.month = 2, t.day = 28, t.hour = 23, t.minute = 58;
  const LocalTime on = moved_time(t, 5);  // 2028 is a leap year
  CHECK(on.month == 2);
  CHECK(on.day == 29);
  CHECK(on.hour == 0);
  CHECK(on.minute == 3);
  t.month = 12, t.day = 31;
  CHECK(moved_time(t, 24 * 60).year == 2029);
  CHECK(moved_time(t, 24 * 60).day == 1);
  t.month = 1, t.day = 1;
  CHECK(moved_time(t, -24 * 60).year == 2027);
  CHECK(moved_time(t, -24 * 60).day == 31);
  CHECK(day_of_year(time_on_day(2026, 172, 0)) == 172);
  CHECK(time_on_day(2026, 172, 0).month == 6);  // 21 June is day 172 of a common year
  CHECK(time_on_day(2026, 172, 0).day == 21);
}

TEST_CASE("The crown found from a gap gives that gap again") {
  Diagnostics diagnostics;
  const auto job = read_job(JobText(small_job), diagnostics);
  REQUIRE(job);
  const auto study = make_study(*job, diagnostics);
  REQUIRE(study);
  const Relief relief = make_reliefs(*study)[0];
  const PlacedJoint* butt = nullptr;
  for (const PlacedJoint& j : relief.joints)
    if (is_end(j.line.kind)) butt = &j;
  REQUIRE(butt);
  for (const double gap : {0.0006, 0.0010, 0.0015}) {
    const auto crown = crown_from_gap(*butt, gap, 0.400, false);
    REQUIRE(crown);
    SectionFigures figures = butt->figures;
    figures.crown = *crown;
    const Section section = make_section(butt->recipe, figures);
    HeightCurve curve;
    curve.first = section.first, curve.step = section.step, curve.height = section.height, curve.slope = section.slope;
    // bisection to 1e-14 m; the rule's own samples are 1 mm apart, where a curve of 1 m radius or more bends by under 1 micrometre
    CHECK(read_rule(curve, Held::balanced, 0.400, 0).gap == Approx(gap).margin(2e-6));
    CHECK(*crown >= gap);  // a rule of 400 mm ends on the slopes of a joint that is wider
  }
  CHECK_FALSE(crown_from_gap(*butt, 0.050, 0.400, false));
}

TEST_CASE("A measured section is read, straightened to its ends, and damage is told by its line") {
  std::string why;
  // a ramp of 1 in 100 with a triangle of 1 mm on it
  const auto curve = read_section_csv("offset, height\n-200, 0\n-100, 1\n0, 3\n100, 3\n200, 4\n", why);
  REQUIRE(curve);
  CHECK(curve->height_at(0) == Approx(0.001).margin(1e-9));
  CHECK(curve->height_at(-0.2) == Approx(0).margin(1e-9));
  CHECK(curve->height_at(0.2) == Approx(0).margin(1e-9));
  CHECK_FALSE(read_section_csv("-200 0\n-100 1\n-100 2\n100 0\n200 0\n", why));
  CHECK(why.find("line 3") == 0);
  CHECK_FALSE(read_section_csv("-200 0\n-100 one\n", why));
  CHECK(why.find("line 2") == 0);
  CHECK_FALSE(read_section_csv("", why));
}

TEST_CASE("A first room of any size that rooms may have is a sound job") {
  for (const double length : {1.5, 5.0, 30.0})
    for (const double width : {1.5, 4.0, 30.0})
      for (const double height : {1.8, 2.5, 10.0}) {
        Diagnostics diagnostics;
        check_text(JobText(first_job({length, width, height, "Pacific/Auckland", 275})), {}, diagnostics);
        INFO(diagnostics.to_text("first", first_job({length, width, height, "Pacific/Auckland", 275})));
        CHECK(diagnostics.ok());
      }
}

TEST_CASE("Every action but holding Space and none has a key, and no two keys are alike") {
  const auto bindings = key_bindings();
  for (std::size_t i = 0; i < bindings.size(); ++i)
    for (std::size_t j = 0; j < i; ++j) CHECK_FALSE((bindings[i].key == bindings[j].key && bindings[i].ctrl == bindings[j].ctrl && bindings[i].shift == bindings[j].shift));
  for (int a = 1; a <= static_cast<int>(Action::quit); ++a)
    CHECK(std::any_of(bindings.begin(), bindings.end(), [a](const KeyBinding& b) { return static_cast<int>(b.action) == a; }));
}

}  // namespace rakelight
