// Lamps held by hand, distributions dropped on the window, places kept: each one undo step in the job.
#include <catch2/catch.hpp>

#include <cmath>
#include <fstream>

#include "script.h"
#include "small_job.h"
#include "window/lamp_places.h"
#include "window/taken.h"

namespace rakelight {
namespace {

std::optional<Job> job_of(const std::string& text) {
  Diagnostics diagnostics;
  return read_job(JobText(text), diagnostics);
}

}  // namespace

TEST_CASE("A hand lamp is where its moment holds it, and moving it changes that place alone") {
  const std::string text = with_hand_lamp();
  const auto job = job_of(text);
  REQUIRE(job);
  const LampSpec& hand = job->lamps[1];
  const std::optional<MomentSpec> own = job->moments[1], sun = job->moments[0];
  CHECK(lamp_place(hand, own).y == Approx(1.8));
  CHECK(lamp_place(hand, sun).y == Approx(0.9));
  CHECK(lamp_lit(hand, own));
  CHECK_FALSE(lamp_lit(hand, sun));
  Model m{text};
  REQUIRE(m.edit(lamp_moved(*job, hand, own, {0.12, 2.0, 1.1})));
  std::string expected = text;
  expected.replace(expected.find("[120, 1800, 1300]"), 17, "[120, 2000, 1100]");
  CHECK(m.history.now().text == expected);
  m.undo();
  REQUIRE(m.edit(lamp_moved(*job, hand, sun, {0.15, 1, 1.2})));
  expected = text;
  expected.replace(expected.find("[150, 900, 1200]"), 16, "[150, 1000, 1200]");
  CHECK(m.history.now().text == expected);
  // a time of one's own is in no file: the lamp's own place is meant
  std::optional<MomentSpec> free = own;
  free->name = std::string();
  CHECK(lamp_moved(*job, hand, free, {0.15, 1, 1.2})[0].table == "lamp");
}

TEST_CASE("A hand lamp is dragged along the wall it is held at, by steps that Alt suspends, as one undo step") {
  const JobFile job("hand", with_hand_lamp());
  Script s(job.path(), 1280, 800);
  s.until([&] { return s.window.found() && s.window.found()->assessment; });
  const Model& m = s.window.model();
  s.click("moments");
  s.click("moment 2");
  while (!m.place->only_facing() || m.place->facing != "long") s.key('F');
  s.until([&] { return s.window.pictures() && s.window.pictures()->view.kind == View::Kind::square_on && s.window.spot("picture lamp work lamp"); });
  const auto place = [&] { return lamp_place(job_of(m.history.now().text)->lamps[1], job_of(m.history.now().text)->moments[1]); };
  const dvec2 from = s.spot("picture lamp work lamp").middle();
  s.drag(from, from + dvec2(60, -35));
  const dvec3 to = place();
  CHECK(to.x == Approx(0.12));  // as far off the wall as before
  CHECK(to.y != Approx(1.8));
  CHECK(to.z > 1.3);            // up the screen is up the wall
  CHECK(std::abs(to.y * 100 - std::round(to.y * 100)) < 1e-6);
  CHECK(std::abs(to.z * 100 - std::round(to.z * 100)) < 1e-6);
  CHECK(m.history.now().text.find("at = [150, 900, 1200]") != std::string::npos);
  s.until([&] { return s.window.found()->text == m.history.now().text && s.window.found()->study && s.window.spot("picture lamp work lamp"); });
  const dvec2 again = s.spot("picture lamp work lamp").middle();
  s.in.keys[press::alt] = true;
  s.drag(again, again + dvec2(33, 20));
  s.in.keys.reset();
  const dvec3 fine = place();
  CHECK((std::abs(fine.y * 100 - std::round(fine.y * 100)) > 1e-6 || std::abs(fine.z * 100 - std::round(fine.z * 100)) > 1e-6));
  s.key('Z', true);
  CHECK(place() == to);
  s.key('Z', true);
  CHECK(m.history.now().text == with_hand_lamp());
  CHECK(s.window.complaints() == "");
}

TEST_CASE("A dropped distribution is given to a lamp, its path beside the job's, its beam gone, as one undo step") {
  std::string text = small_job;
  text.replace(text.find("at = [250, 1800, 2400]"), 22, "at = [250, 1800, 2400]\nbeam = 40   # wide enough");
  const JobFile job("drop", text);
  std::filesystem::create_directories(job.folder / "lamps");
  std::ofstream(job.folder / "lamps" / "Spot.IES", std::ios::binary) << small_lamp_file;
  std::string broken = small_lamp_file;
  broken.replace(broken.find("400 200"), 7, "4oo 200");
  std::ofstream(job.folder / "bad.ies", std::ios::binary) << broken;
  Script s(job.path(), 1280, 800);
  const Model& m = s.window.model();
  s.until([&] { return s.window.found() && s.window.found()->study; });
  s.in.dropped = {(job.folder / "bad.ies").string()};
  s.frames(2);
  INFO(m.notice);
  CHECK(m.notice.find("bad.ies:10: ") == 0);  // the tenth line has the letters
  CHECK_FALSE(s.window.spot("give to spot"));
  s.in.dropped = {(job.folder / "lamps" / "Spot.IES").string()};
  s.frames(3);
  s.click("give to spot");
  std::string expected = text;
  expected.replace(expected.find("beam = 40   # wide enough\n"), 26, "# wide enough\nphotometry = \"lamps/Spot.IES\"\n");  // no comment is lost
  CHECK(m.history.now().text == expected);
  CHECK(m.path == job.path());
  s.key('Z', true);
  CHECK(m.history.now().text == text);
  // thought better of
  s.in.dropped = {(job.folder / "lamps" / "Spot.IES").string()};
  s.frames(3);
  s.key(press::escape);
  s.frames(2);
  CHECK_FALSE(s.window.spot("give to spot"));
  CHECK(s.window.complaints() == "");
}

TEST_CASE("Where a job finds a file is said from the job's folder") {
  CHECK(path_beside("/a/b/job.toml", "/a/b/lamps/x.ies") == "lamps/x.ies");
  CHECK(path_beside("/a/b/job.toml", "/a/x.ies") == "../x.ies");
  CHECK(path_beside("", "/a/x.ies") == "/a/x.ies");
  CHECK(names_photometry("x.LDT"));
  CHECK_FALSE(names_photometry("ies.toml"));
}

TEST_CASE("The place where one stands is kept as a viewer of the job by one step, and the usual ones are not lost") {
  const JobFile job("place");
  Script s(job.path(), 1280, 800);
  const Model& m = s.window.model();
  s.until([&] { return s.window.found() && s.window.found()->assessment; });
  s.key('N');
  CHECK(m.notice.find("first look round") == 0);
  s.key('G');
  for (int i = 0; i < 2; ++i) s.key(press::up);
  const dvec3 eye = m.place->eye, towards = glm::normalize(m.place->target - m.place->eye);
  s.key(press::escape);
  s.click("keep this place");
  s.fill("place name", "chair");  // there is one
  CHECK(m.history.now().text == small_job);
  s.fill("place name", "by the window");
  s.frames(2);
  const auto kept = job_of(m.history.now().text);
  REQUIRE(kept);
  REQUIRE(kept->viewers.size() == 2);
  CHECK(*kept->viewers[1].name == "by the window");
  CHECK(glm::length(*kept->viewers[1].eye - eye) < 2e-4);  // tenths of a millimetre are written
  REQUIRE(kept->viewers[1].look_point);
  // the same, and metres of line of sight
  CHECK(glm::dot(glm::normalize(*kept->viewers[1].look_point - *kept->viewers[1].eye), towards) > 1 - 1e-6);
  CHECK(m.place->viewer == "by the window");
  CHECK_FALSE(s.window.spot("keep this place"));
  s.until([&] { return s.window.found()->text == m.history.now().text && s.window.found()->study; });
  CHECK(s.window.found()->study->viewers.size() == 2);
  s.key('Z', true);
  CHECK(m.history.now().text == small_job);
  CHECK(s.window.complaints() == "");

  // a job that names no places
  std::string bare = small_job;
  bare.erase(bare.find("[[viewer]]"));
  Diagnostics diagnostics;
  const auto study = make_study(*job_of(bare), diagnostics);
  REQUIRE(study);
  Model other{bare};
  CHECK(viewer_kept(*study, "seated", {1, 1, 1.5}, {1, 2, 1.5}).empty());
  REQUIRE(other.edit(viewer_kept(*study, "desk", {1, 1, 1.5}, {1, 2, 1.5})));
  CHECK(job_of(other.history.now().text)->viewers.size() == study->viewers.size() + 1);
}

}  // namespace rakelight
