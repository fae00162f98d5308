// What the window knows without a window: edits, undo, times, measured joints.
#include <catch2/catch.hpp>

#include <fmt/format.h>

#include "joint/straightedge.h"
#include "small_job.h"
#include "window/keys.h"
#include "advice/measure.h"
#include "joint/measured.h"
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
  const PlacedJoint *butt = nullptr, *recess = nullptr;
  for (const PlacedJoint& j : relief.joints) {
    if (is_end(j.line.kind)) butt = &j;
    if (is_recess(j.line.kind)) recess = &j;
  }
  REQUIRE(butt);
  REQUIRE(recess);
  for (const double gap : {0.0006, 0.0010, 0.0015}) {
    const auto crown = crown_from_gap(*butt, {gap, 0.400, false});
    REQUIRE(crown);
    SectionFigures figures = butt->figures;
    figures.crown = *crown;
    const HeightCurve curve = face_of(make_section(butt->recipe, figures));
    // bisection to a micrometre of crown; the rule's own samples are 1 mm apart, where a curve of 1 m radius or more bends by under 1 micrometre
    CHECK(read_rule(curve, Held::balanced, 0.400, 0).gap == Approx(gap).margin(2e-6));
    CHECK(*crown >= gap);  // a rule of 400 mm ends on the slopes of a joint that is wider
  }
  for (const double gap : {0.0003, 0.0006}) {
    const auto hollow = crown_from_gap(*recess, {gap, 0.400, true});
    REQUIRE(hollow);
    CHECK(*hollow < 0);
    SectionFigures figures = recess->figures;
    figures.crown = *hollow;
    CHECK(read_rule(face_of(make_section(recess->recipe, figures)), Held::bridging, 0.400, 0).gap == Approx(gap).margin(2e-6));
  }
  // compound over board that is nowhere recessed cannot lie below it
  CHECK_FALSE(crown_from_gap(*butt, {0.0006, 0.400, true}));
  CHECK_FALSE(crown_from_gap(*butt, {0.050, 0.400, false}));
  CHECK_FALSE(crown_from_gap(*butt, {0.050, 0.400, true}));
}

TEST_CASE("Another job at the right is one step; one that would be broken leaves what was undone to be done again") {
  Model m{small_job};
  REQUIRE(m.edit({{"window", "W1", "sill", "900"}}));
  m.undo();
  CHECK_FALSE(m.compare({{"surface", "long", "run", "\"slanted\""}}));
  CHECK(m.notice.find("not compared") == 0);
  CHECK_FALSE(m.right_text());
  CHECK(m.history.can_redo());
  REQUIRE(m.compare({{"surface", "long", "level", "\"5\""}}));
  REQUIRE(m.compare({{"surface", "long", "run", "\"upright\""}}));
  CHECK(m.right_text()->find("level = \"4\"") != std::string::npos);  // in place of the other, not on top of it
  m.undo();
  CHECK(m.right_text()->find("level = \"5\"") != std::string::npos);
  m.undo();
  CHECK_FALSE(m.right_text());
  CHECK_FALSE(m.history.can_undo());
}

TEST_CASE("A measured section's crown is that of its points, and damage is told by its line") {
  std::string why;
  // a parabola 1.2 mm high over 400 mm, every 10 mm, measured from a line that rises by 1 in 100
  std::string csv = "offset_mm,height_mm\n";
  for (int u = -200; u <= 200; u += 10) csv += fmt::format("{},{}\n", u, 1.2 * (1 - u * u / 40000.0) + 0.01 * u);
  const auto section = section_from_csv(csv, why);
  REQUIRE(section);
  const MeasuredSpec butt = figures_of({{JointKind::butt, section->face}}), recess = figures_of({{JointKind::recessed, section->face}});
  REQUIRE(butt.butt_crown->size() == 1);
  REQUIRE(recess.recessed_crown->size() == 1);
  // no reading is taken to be finer than 2 micrometres; the spline itself, bent nowhere at its ends, is off there by
  // h² f''/8 = 0.75 micrometres at h = 10 mm, f'' = 2 · 1.2 mm / (200 mm)²
  CHECK(butt.butt_crown->front() == Approx(0.0012).margin(2e-6));
  CHECK(recess.recessed_crown->front() == Approx(0.0012).margin(2e-6));
  CHECK_FALSE(section_from_csv("offset_mm,height_mm\n-200,0\n-100,1\n-100,2\n100,0\n200,0\n", why));
  CHECK(why.find("line 4") == 0);
  CHECK_FALSE(section_from_csv("offset_mm,height_mm\n-200,one\n", why));
  CHECK(why.find("line 2") == 0);
  CHECK_FALSE(section_from_csv("-200,0\n-100,1\n", why));
  CHECK(why.find("heading") != std::string::npos);
  CHECK_FALSE(section_from_csv("", why));
}

TEST_CASE("One more measured joint stands beside those measured before; a slider's figure in their place") {
  Diagnostics diagnostics;
  const auto job = read_job(JobText(small_job), diagnostics);
  REQUIRE(job);
  const std::string one = workmanship_value(*job, crown_measured(JointKind::butt, 0.0009), Take::besides);
  CHECK(one == "{ like = \"everyday\", butt_crown = [0.9] }");
  Model m{small_job};
  REQUIRE(m.edit({{"finishing", "", "workmanship", one}}));
  const auto again = read_job(JobText(m.history.now().text), diagnostics);
  REQUIRE(again);
  CHECK(workmanship_value(*again, crown_measured(JointKind::butt, 0.0012), Take::besides) == "{ like = \"everyday\", butt_crown = [0.9, 1.2] }");
  CHECK(workmanship_value(*again, crown_measured(JointKind::butt, 0.0012), Take::instead) == "{ like = \"everyday\", butt_crown = [1.2] }");
  CHECK(workmanship_value(*again, crown_measured(JointKind::recessed, 0.0004), Take::besides) == "{ like = \"everyday\", recessed_crown = [0.4], butt_crown = [0.9] }");
}

TEST_CASE("A first room of any size that rooms may have is a sound job") {
  for (const double length : {1.5, 5.0, 30.0})
    for (const double width : {1.5, 4.0, 30.0})
      for (const double height : {1.8, 2.5, 10.0}) {
        Diagnostics diagnostics;
        for (const bool invented : {false, true}) {
          for (const bool inches : {false, true}) {
            const std::string text = starter_job({length, width, height, "Pacific/Auckland", 275, invented, inches});
            check_text(JobText(text), {}, diagnostics);
            INFO(diagnostics.to_text("first", text));
            CHECK(diagnostics.all().empty());
          }
        }
      }
}

TEST_CASE("Every action has a key, and no two keys are alike") {
  const auto bindings = key_bindings();
  for (std::size_t i = 0; i < bindings.size(); ++i)
    for (std::size_t j = 0; j < i; ++j) CHECK_FALSE((bindings[i].key == bindings[j].key && bindings[i].ctrl == bindings[j].ctrl && bindings[i].shift == bindings[j].shift));
  for (int a = 1; a <= static_cast<int>(Action::quit); ++a)
    CHECK(std::any_of(bindings.begin(), bindings.end(), [a](const KeyBinding& b) { return static_cast<int>(b.action) == a; }));
}

}  // namespace rakelight
