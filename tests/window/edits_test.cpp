// Direct dragging, typed values, undo, saving, errors that say what to do.
#include <catch2/catch.hpp>

#include "script.h"
#include "small_job.h"
#include "window/words.h"

namespace rakelight {

TEST_CASE("Windows, lamps and places are dragged in plan with a dimension, values typed, each one undo step; saved by splice") {
  const JobFile job("edits");
  Script s(job.path(), 1280, 800);
  s.until([&] { return s.window.found() && s.window.found()->study; });
  s.key('P');
  s.frames(3);
  // 10 mm steps: the new edge is a whole number of them
  s.drag(s.spot("plan window W1 left").middle(), s.spot("plan window W1 left").middle() + dvec2(40, 0));
  const std::string moved = s.window.model().history.now().text;
  CHECK(moved != small_job);
  const auto from = moved.find("from_left = ") + 12;
  const double left = std::stod(moved.substr(from));
  CHECK(left > 250);
  CHECK(std::fmod(left, 10) == Approx(0).margin(1e-9));
  CHECK(moved.find("   # this is what rakes the long wall") != std::string::npos);
  // its right end stays: 250 + 1200
  CHECK(std::stod(moved.substr(moved.find("width = ") + 8)) == Approx(1450 - left));
  s.until([&] { return s.window.found()->text == moved && s.window.found()->study; });
  s.drag(s.spot("plan lamp spot").middle(), s.spot("plan lamp spot").middle() + dvec2(30, 0));
  const std::string lamp = s.window.model().history.now().text;
  CHECK(lamp != moved);
  s.until([&] { return s.window.found()->text == lamp && s.window.found()->study; });
  s.drag(s.spot("plan viewer chair").middle(), s.spot("plan viewer chair").middle() + dvec2(0, -40));
  const std::string chair = s.window.model().history.now().text;
  CHECK(chair != lamp);
  s.key('Z', true);
  s.key('Z', true);
  CHECK(s.window.model().history.now().text == moved);
  s.key('Z', true);
  CHECK(s.window.model().history.now().text == small_job);
  s.key('Z', true);
  CHECK(s.window.model().notice == "nothing to undo");
  s.key('Z', true, true);
  CHECK(s.window.model().history.now().text == moved);
  s.until([&] { return s.window.found()->text == moved && s.window.found()->study; });
  s.click("plan window W1");  // chooses it, and moves nothing
  CHECK(s.window.model().history.now().text == moved);
  s.fill("window W1 sill", "900");
  CHECK(s.window.model().history.now().text.find("sill = 900") != std::string::npos);
  s.key('S', true);
  CHECK(read_back(job.path()) == s.window.model().history.now().text);
  CHECK_FALSE(s.window.model().changed());
  CHECK(s.window.complaints() == "");
}

TEST_CASE("A slider is one undo step, and the walk moves the eye that is judged") {
  const JobFile job("slider");
  Script s(job.path(), 1280, 800);
  s.until([&] { return s.window.found() && s.window.found()->assessment; });
  s.frames(4);
  const Spot width = s.spot("slider width");
  s.drag(width.middle(), width.middle() + dvec2(30, 0));
  CHECK(s.window.model().history.now().text.find("[[joint]]") != std::string::npos);
  s.key('Z', true);
  CHECK(s.window.model().history.now().text == small_job);
  const dvec3 before = s.window.model().place->eye;
  s.key('G');
  for (int i = 0; i < 3; ++i) s.key(press::up);
  CHECK(s.window.model().place->viewer == "here");
  CHECK(glm::length(s.window.model().place->eye - before) == Approx(0.75).margin(1e-6));  // strides of 250 mm
  s.key(press::escape);
  s.key('F');
  CHECK(s.window.model().place->only_facing());
  CHECK(s.window.complaints() == "");
}

TEST_CASE("A job that cannot be read is shown with its complaint and can be put right; a dropped file is opened") {
  std::string bad = small_job;
  bad.replace(bad.find("wall = \"street\""), 15, "wall = \"stret\" ");
  const JobFile job("bad", bad), good("good");
  Script s(job.path(), 1280, 800);
  s.until([&] { return s.window.found() && s.window.found()->broken(); });
  s.frames(2);
  CHECK(s.window.spot("trouble"));
  std::ofstream(job.path(), std::ios::binary) << small_job;
  s.click("read again");
  s.until([&] { return s.window.found() && s.window.found()->study; });
  s.in.dropped = {good.path()};
  s.frame();
  CHECK(s.window.model().path == good.path());
  s.in.dropped = {(good.folder / "none.toml").string()};
  s.frame();
  CHECK(s.window.model().path == good.path());
  CHECK(s.window.model().notice.find("cannot read") == 0);
  s.key(press::f1);
  s.frames(2);
  CHECK(s.window.spot("close help"));
  s.key(press::escape);
  CHECK_FALSE(s.window.model().help);
}

TEST_CASE("From the program alone to a verdict on one's own room in at most ten inputs") {
  Script s("", 1280, 800);
  s.click("start my room");
  s.fill("room length", "5200");
  s.fill("room width", "3600");
  s.fill("room height", "2450");
  s.fill("room zone", "Europe/Berlin");
  s.fill("room north", "280");
  s.click("begin");
  s.until([&] { return s.window.found() && s.window.found()->study && s.window.found()->text == s.window.model().history.now().text; });
  s.frames(2);
  s.drag(s.spot("plan window W1").middle(), s.spot("plan window W1").middle() + dvec2(25, 0));
  s.until([&] { return s.window.found() && s.window.found()->assessment && s.window.found()->text == s.window.model().history.now().text; });
  CHECK(s.inputs <= 10);
  CHECK(s.inputs == 8);
  const Found& found = *s.window.found();
  CHECK(found.study->room.height == Approx(2.45));
  CHECK(found.study->room.surfaces[0].box.width() == Approx(5.2));
  CHECK(*found.study->job.site.time_zone == "Europe/Berlin");
  REQUIRE(result_of(*found.assessment, found.study->room, "long"));
  CHECK(s.window.spot("answer"));
  CHECK(s.window.complaints() == "");
}

}  // namespace rakelight
