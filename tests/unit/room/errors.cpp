// Rooms that cannot be: what is said, and where.
#include <algorithm>
#include <catch2/catch.hpp>

#include "room/room.h"
#include "unit/room/rooms.h"

using namespace rakelight;

namespace {

std::vector<Diagnostic> faults(const Job& job) {
  Diagnostics diagnostics;
  const std::optional<Room> room = make_room(job, diagnostics);
  CHECK(room.has_value() == diagnostics.ok());
  return diagnostics.all();
}

Diagnostic only_fault(const Job& job) {
  const std::vector<Diagnostic> all = faults(job);
  for (const Diagnostic& d : all) UNSCOPED_INFO(d.wrong);
  REQUIRE(all.size() == 1);
  return all.front();
}

bool says(const std::string& text, const std::string& part) { return text.find(part) != std::string::npos; }

}  // namespace

TEST_CASE("a window past the end of its wall names the window and the corners", "[room]") {
  Job job = long_room();
  job.windows.push_back(window("W1", "B", 2.85, 0.8, 1.5, 1.5));
  const Diagnostic d = only_fault(job);
  CHECK(d.wrong == "window W1 reaches 150 mm past the right end of wall B");
  CHECK(d.right == "from_left + width at most 4200 mm (now 4350 mm)");
  CHECK(d.at.begin == job.windows[0].from_left.at.begin);
  CHECK(d.other.begin == job.room.corners.at.begin);
  CHECK(d.other_says == "wall B is 4200 mm long by these corners");
}

TEST_CASE("openings against floor and ceiling", "[room]") {
  Job job = long_room();
  job.windows.push_back(window("W1", "B", 0.25, 1.5, 1.5, 1.5));
  Diagnostic d = only_fault(job);
  CHECK(d.wrong == "window W1 reaches 350 mm above the ceiling");
  CHECK(d.at.begin == job.windows[0].height.at.begin);
  CHECK(d.other.begin == job.room.height.at.begin);
  job.windows = {window("W1", "B", 0.25, -0.1, 1.5, 1.5)};
  CHECK(only_fault(job).wrong == "window W1 starts 100 mm below the floor");
  job.windows = {window("W1", "B", -0.1, 0.1, 1.5, 1.5)};
  CHECK(says(only_fault(job).wrong, "starts 100 mm before the left end of wall B"));
  job.windows.clear();
  job.doors = {door("D", 0.9, 0.8, 2.7)};
  CHECK(only_fault(job).wrong == "the door in wall D reaches 50 mm above the ceiling");
}

TEST_CASE("openings may touch corners, floor, ceiling and each other", "[room]") {
  Job job = long_room();
  job.windows = {window("W1", "B", 0, 0, 2.1, 2.65), window("W2", "B", 2.1, 0, 2.1, 2.65), window("W3", "C", 0, 0.8, 1, 1)};
  CHECK(faults(job).empty());
}

TEST_CASE("windows that meet a corner from both sides stand side by side; roof windows lie over the room", "[room]") {
  Job job = long_room();
  job.windows = {window("W1", "A", 4.2, 0, 2.0, 2.65), window("W2", "B", 0, 0, 1.5, 2.65)};
  CHECK(faults(job).empty());
  const auto roof = [](const char* name, dvec2 at, double x, double y) {
    WindowSpec w = window(name, "ceiling", 0, 0, x, y);
    w.place = written(at);
    return w;
  };
  job = long_room();
  job.windows = {roof("R1", {0, 0}, 1, 1), roof("R2", {1, 0}, 3.2, 1), window("W1", "D", 0.5, 1, 1, 1.65)};
  CHECK(faults(job).empty());
  job.windows = {roof("R1", {3.5, 1}, 1, 1)};
  Diagnostic d = only_fault(job);
  CHECK(says(d.wrong, "window R1 reaches out of the room at [4500, 1000]"));
  CHECK(d.at.begin == job.windows[0].place.at.begin);
  CHECK(d.other.begin == job.room.corners.at.begin);
  job.windows = {roof("R1", {1, 1}, 1, 1), roof("R2", {1.6, 1.5}, 1, 1)};
  CHECK(says(only_fault(job).wrong, "window R2 overlaps window R1 by 400 mm × 500 mm"));
  // over the notch of an L: all corners inside, a wall's corner between them
  job = l_room();
  job.windows = {roof("R1", {2, 2}, 0.9, 0.9)};
  CHECK(faults(job).empty());
  job = bare_job({{0, 0}, {0, 4}, {1, 4}, {1, 2}, {2, 2}, {2, 4}, {3, 4}, {3, 0}}, 2.5);  // a U
  job.windows = {roof("R1", {0.5, 2.5}, 2, 1)};
  CHECK(says(only_fault(job).wrong, "window R1 reaches across wall"));
}

TEST_CASE("openings that overlap name both", "[room]") {
  Job job = long_room();
  job.windows = {window("W1", "B", 0.25, 0.8, 1.5, 1.5), window("W2", "B", 1.7, 0.8, 1.5, 1.5)};
  Diagnostic d = only_fault(job);
  CHECK(d.wrong == "window W2 overlaps window W1 by 50 mm × 1500 mm");
  CHECK(d.at.begin == job.windows[1].from_left.at.begin);
  CHECK(d.other.begin == job.windows[0].from_left.at.begin);
  job.windows = {window("W1", "B", 0.25, 0.8, 1.5, 1.5), window("W2", "B", 0.25, 2.3, 1.5, 0.3)};  // one above the other
  CHECK(faults(job).empty());
  job.doors = {door("B", 1.0, 0.8, 2.0)};
  CHECK(says(only_fault(job).wrong, "the door in wall B overlaps window W1"));
}

TEST_CASE("reveals that run into the room or into each other", "[room]") {
  // a U whose middle pier is 100 mm thick: a 180 mm reveal comes out on its other side
  Job job = bare_job({{0, 0}, {0, 4}, {2, 4}, {2, 2}, {2.1, 2}, {2.1, 4}, {4, 4}, {4, 0}}, 2.5);
  job.windows = {window("W1", "C", 0.3, 0.8, 1.2, 1.2)};
  const Diagnostic d = only_fault(job);
  CHECK(says(d.wrong, "the reveal of window W1, 180 mm deep, runs into wall E"));
  CHECK(d.other.known());
  job.windows[0].reveal = written(0.1);
  CHECK(faults(job).empty());
  // behind the inner corner of an L two reveals meet
  Job l = l_room();
  l.windows = {window("W1", "C", 1.9, 0.8, 1.0, 1.2), window("W2", "D", 0.1, 0.8, 1.0, 1.2)};
  CHECK(says(only_fault(l).wrong, "run into each other behind the corner"));
  l.windows[1].from_left = written(0.2);
  CHECK(faults(l).empty());
}

TEST_CASE("a frame that leaves no glass", "[room]") {
  Job job = long_room();
  job.windows = {window("W1", "B", 0.25, 0.8, 0.6, 1.5)};
  job.windows[0].frame = written(0.3);
  const Diagnostic d = only_fault(job);
  CHECK(d.wrong == "a frame 300 mm wide leaves no glass in window W1");
  CHECK(d.right == "less than 300 mm, half of the opening's smaller side");
  CHECK(d.at.begin == job.windows[0].frame.at.begin);
  CHECK(d.other.begin == job.windows[0].width.at.begin);
}

TEST_CASE("outlines that are none", "[room]") {
  const Diagnostic backwards = only_fault(bare_job({{0, 0}, {4, 0}, {4, 6}, {0, 6}}, 2.5));
  CHECK(says(backwards.wrong, "counter-clockwise"));
  CHECK(says(backwards.right, "walk the corners the other way"));

  const Job bow = bare_job({{0, 0}, {4, 6}, {4, 0}, {0, 6}}, 2.5);
  const Diagnostic crossing = only_fault(bow);
  CHECK(crossing.wrong == "wall A ([0, 0] to [4000, 6000]) crosses or touches wall C ([4000, 0] to [0, 6000])");
  CHECK(crossing.at.begin == bow.room.walls[0].at.begin);
  CHECK(crossing.other.begin == bow.room.walls[2].at.begin);

  CHECK(says(only_fault(bare_job({{0, 0}, {0, 6}, {0, 6}, {4, 6}, {4, 0}}, 2.5)).wrong, "corners 2 and 3 are the same point [0, 6000]"));
  CHECK(says(only_fault(bare_job({{0, 0}, {0, 6}, {4, 6}, {4, 0}, {0, 0}}, 2.5)).wrong, "corners 1 and 5 are the same point"));
  // a spike: out to y = 8 and back along itself
  CHECK(says(faults(bare_job({{0, 0}, {0, 8}, {0, 6}, {4, 6}, {4, 0}}, 2.5)).front().wrong, "doubles back onto"));
  // a corner that touches another wall
  CHECK(says(faults(bare_job({{0, 0}, {0, 6}, {2, 0}, {4, 6}, {4, 0}}, 2.5)).front().wrong, "crosses or touches"));
  CHECK(says(only_fault(bare_job({{0, 0}, {4, 6}}, 2.5)).wrong, "2 corners enclose no room"));
  Job unnamed = long_room();
  unnamed.room.walls.pop_back();
  CHECK(says(only_fault(unnamed).wrong, "3 walls for 4 corners"));
}

TEST_CASE("sizes that are a slip of units", "[room]") {
  CHECK(only_fault(bare_job({{0, 0}, {0, 6.2}, {4.2, 6.2}, {4.2, 0}}, 1.49)).wrong == "the room is 1490 mm high");
  CHECK(faults(bare_job({{0, 0}, {0, 6.2}, {4.2, 6.2}, {4.2, 0}}, 1.5)).empty());
  CHECK(says(only_fault(bare_job({{0, 0}, {0, 6.2}, {4.2, 6.2}, {4.2, 0}}, 26.5)).wrong, "26500 mm high"));
  CHECK(says(only_fault(bare_job({{0, 0}, {0, 0.0062}, {0.0042, 0.0062}, {0.0042, 0}}, 2.65)).wrong, "the room is 6.2 mm across"));
  CHECK(says(only_fault(bare_job({{0, 0}, {0, 6200}, {4200, 6200}, {4200, 0}}, 2.65)).wrong, "across"));
  Job inches = long_room();
  inches.units = Units::inch;
  inches.windows = {window("W1", "B", 2.85, 0.8, 1.5, 1.5)};
  CHECK(says(only_fault(inches).right, "13' 9-3/8\""));  // 4200 / 25.4
}

TEST_CASE("lamps outside", "[room]") {
  Job job = long_room();
  job.lamps = {lamp("L1", {0.3, 3, 2.65})};  // on the ceiling is inside
  CHECK(faults(job).empty());
  job.lamps = {lamp("L1", {0.3, 3, 2.75})};
  Diagnostic d = only_fault(job);
  CHECK(d.wrong == "lamp L1 hangs 100 mm above the ceiling");
  CHECK(d.other.begin == job.room.height.at.begin);
  job.lamps = {lamp("L1", {5, 3, 2.65})};
  d = only_fault(job);
  CHECK(d.wrong == "lamp L1 at [5000, 3000] is outside the room");
  CHECK(d.other.begin == job.room.corners.at.begin);
  job.lamps = {lamp("L1", {0.03, 3, 2.65})};
  CHECK(only_fault(job).wrong == "lamp L1, 80 mm across, reaches 10 mm into wall A");
  job.lamps[0].aim = written(dvec3{1, 0, 0});  // in the wall's face, shining out of it
  CHECK(faults(job).empty());
}

TEST_CASE("all faults that can be found are found at once", "[room]") {
  Job job = long_room();
  job.room.height = written(25.0);
  job.windows = {window("W1", "B", 3.0, 0.8, 1.5, 1.5), window("W2", "B", 3.0, 0.8, 1.5, 1.5)};
  job.doors = {door("attic", 0, 1, 2)};
  job.surfaces = {boarded("loft", {1.2, 3.0})};
  // height, the board on no wall, two past the end, their overlap, the door's wall
  CHECK(faults(job).size() == 6);
}
