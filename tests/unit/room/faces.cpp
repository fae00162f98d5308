#include "room/room.h"

#include <catch2/catch.hpp>
#include <set>

#include "room/plan.h"
#include "unit/room/rooms.h"

using namespace rakelight;

namespace {

// Unit vectors from one square root and one division each carry a few 1e-16.
constexpr double exact = 1e-13;

Approx near(double v, double by = exact) { return Approx(v).margin(by).epsilon(0); }

}  // namespace

TEST_CASE("frames are orthonormal, walls right-handed, the ceiling left-handed", "[room]") {
  Random random(3);
  for (int trial = 0; trial < 50; ++trial) {
    const Job job = bare_job(random_star(random, {10, -4}, 3 + trial % 9, 2, 6), 2.5);
    Diagnostics diagnostics;
    const std::optional<Room> made = make_room(job, diagnostics);
    if (!made) continue;
    const Room& room = *made;
    REQUIRE(room.surfaces.size() == room.plan.size() + 2);
    for (const Surface& s : room.surfaces) {
      const Frame& f = s.frame;
      for (dvec3 v : {f.x, f.y, f.n}) CHECK(glm::length(v) == near(1));
      CHECK(glm::dot(f.x, f.y) == near(0));
      CHECK(glm::dot(f.x, f.n) == near(0));
      CHECK(glm::dot(f.y, f.n) == near(0));
      // x × y = n, but −n where one looks up at a plan drawn from above
      CHECK(glm::dot(glm::cross(f.x, f.y), f.n) == near(s.kind == Surface::Kind::ceiling ? -1 : 1));
      const dvec3 p = f.world_from_surface({0.3, 0.7}, 0.1);
      CHECK(f.surface_from_world(p).x == near(0.3));
      CHECK(f.surface_from_world(p).y == near(0.7));
      CHECK(f.height_of(p) == near(0.1));
    }
    // a step into the room from the middle of each wall is inside, a step out is not
    for (int i = 0; i < room.wall_count(); ++i) {
      const Surface& w = room.surfaces[i];
      CHECK(room.contains(dvec2(w.frame.world_from_surface({0.5 * w.box.hi.x, 1}, 1e-6))));
      CHECK_FALSE(room.contains(dvec2(w.frame.world_from_surface({0.5 * w.box.hi.x, 1}, -1e-6))));
    }
  }
}

TEST_CASE("walls run from left to right seen from inside", "[room]") {
  const Room room = room_of(long_room());
  // Standing in the room and facing wall A (x = 0), one looks towards −x; north of plan (+y) is at the right hand.
  const Frame& a = room.surfaces[0].frame;
  CHECK(a.x == dvec3(0, 1, 0));
  CHECK(a.n == dvec3(1, 0, 0));
  CHECK(room.surfaces[0].box.hi.x == near(6.2));
  CHECK(room.surfaces[0].box.hi.y == near(2.65));
  // each wall ends where the next begins
  for (int i = 0; i < 4; ++i) {
    const Surface &w = room.surfaces[i], &next = room.surfaces[(i + 1) % 4];
    CHECK(glm::length(w.frame.world_from_surface({w.box.hi.x, 0}) - next.frame.origin) == near(0));
  }
  CHECK(room.find("ceiling") == 4);
  CHECK(room.find("floor") == 5);
  CHECK(room.find("attic") == -1);
  CHECK(room.surfaces[4].frame.origin == dvec3(0, 0, 2.65));
  CHECK(room.surfaces[4].frame.n == dvec3(0, 0, -1));
  CHECK(room.surfaces[5].frame.n == dvec3(0, 0, 1));
}

TEST_CASE("shapes: rectangle, L and twelve corners", "[room]") {
  CHECK(room_of(long_room()).convex);
  const Room l = room_of(l_room());
  CHECK_FALSE(l.convex);
  CHECK(l.wall_count() == 6);
  CHECK(std::abs(signed_area(l.plan)) == near(27));
  const Room plus = room_of(plus_room());
  CHECK_FALSE(plus.convex);
  CHECK(plus.wall_count() == 12);
  CHECK(std::abs(signed_area(plus.plan)) == near(20));
  CHECK(l.surfaces[l.ceiling()].contains({1, 5}));
  CHECK_FALSE(l.surfaces[l.ceiling()].contains({5, 5}));
  // a corner on a straight wall joins two walls in one plane, and the room stays convex
  CHECK(room_of(bare_job({{0, 0}, {0, 3}, {0, 6}, {4, 6}, {4, 0}}, 2.5)).convex);
}

TEST_CASE("windows, doors and reflectances are taken over", "[room]") {
  Job job = long_room();
  job.windows.push_back(window("W1", "B", 0.25, 0.8, 1.5, 1.5));
  job.doors.push_back(door("D", 0.9, 0.826, 2.04));
  job.surfaces.push_back(boarded("A", {1.2, 3.0}));
  const Room room = room_of(job);
  REQUIRE(room.windows.size() == 1);
  CHECK(room.windows[0].surface == 1);
  CHECK(room.windows[0].opening.hi.x == near(1.75));
  CHECK(room.windows[0].glass().lo.y == near(0.87));
  CHECK(room.windows[0].glass().width() == near(1.36));
  CHECK(room.doors[0].opening.lo.y == 0);
  CHECK(room.surfaces[0].reflectance == 0.82);
  CHECK(room.surfaces[0].spec == 0);
  CHECK(room.surfaces[1].reflectance == 0.5);
  CHECK(room.surfaces[room.ceiling()].reflectance == 0.7);
  CHECK(room.surfaces[room.floor()].reflectance == 0.25);
}

TEST_CASE("a window's shades stand where its keys say", "[room]") {
  Job job = long_room();
  WindowSpec w = window("W1", "B", 0.25, 0.8, 1.5, 1.5);
  w.eaves = written(0.6);
  w.eaves_above = written(0.2);
  w.fin_right = written(0.4);
  w.fin_off = written(0.1);
  w.outer_reflectance = written(0.3);
  w.cover = written(CoverSpec::blind);
  w.cover_direct = written(0.0);
  w.cover_scatter = written(0.1);
  w.cover_reflectance = written(0.6);
  job.windows = {w};
  WindowSpec r = window("R1", "ceiling", 0, 0, 1, 0.5);
  r.place = written(dvec2(2, 3));
  job.windows.push_back(r);
  Diagnostics diagnostics;
  const std::optional<Room> room = make_room(job, diagnostics);
  REQUIRE(room);
  const WindowShades& s = room->windows[0].shades;
  CHECK(s.eaves == 0.6);
  CHECK(s.eaves_y == Approx(2.5));
  CHECK(s.eaves_lo < -1000);
  CHECK(s.left == 0);
  CHECK(s.right == 0.4);
  CHECK(s.right_x == Approx(1.85));
  CHECK(room->windows[0].cover.there());
  CHECK(room->windows[0].cover.reflectance == 0.6);
  CHECK(room->in_roof(room->windows[1]));
  CHECK_FALSE(room->windows[1].cover.there());
  CHECK(room->windows[1].opening.lo == dvec2(2, 3));
  CHECK(room->windows[1].opening.hi == dvec2(3, 3.5));
  job.windows[0].eaves_past = written(0.3);
  const std::optional<Room> ended = make_room(job, diagnostics);
  REQUIRE(ended);
  CHECK(ended->windows[0].shades.eaves_lo == Approx(-0.05));
  CHECK(ended->windows[0].shades.eaves_hi == Approx(2.05));
}

TEST_CASE("the middle of a room lies well inside", "[room]") {
  const Room room = room_of(long_room());
  CHECK(room.middle().x == near(2.1));
  CHECK(room.middle().y == near(3.1));
  // In the L the largest circle touches the two outer walls and the inner corner (3, 3): its centre (r, r) has
  // √2 (3 − r) = r, r = 3√2/(1 + √2) = 1.757 m. To 1 mm, the search's last step.
  const dvec2 m = room_of(l_room()).middle();
  CHECK(m.x == near(1.7574, 2e-3));
  CHECK(m.y == near(1.7574, 2e-3));
}

TEST_CASE("the standing viewers", "[room]") {
  Job job = long_room();
  job.windows.push_back(window("W1", "B", 0.25, 0.8, 1.5, 1.5));
  job.doors.push_back(door("D", 0.9, 0.826, 2.04));
  job.surfaces = {boarded("A", {1.2, 3.0}), boarded("B", {1.2, 3.0}), boarded("ceiling", {1.2, 3.0})};
  const Room room = room_of(job);
  Diagnostics diagnostics;
  const std::vector<Viewer> viewers = make_viewers(job, room, diagnostics);
  CHECK(diagnostics.all().empty());
  std::vector<std::string> names;
  for (const Viewer& v : viewers) names.push_back(v.name);
  CHECK(names == std::vector<std::string>{"inspection", "inspection", "inspection", "doorway", "along A", "along B", "seated"});
  CHECK(glm::length(viewers[0].eye - dvec3(2, 3.1, 1.6)) == near(0));
  CHECK(viewers[0].only_surface == 0);
  CHECK(viewers[0].target.x == near(0));
  CHECK(viewers[1].eye.y == near(4.2));
  CHECK(viewers[2].only_surface == room.ceiling());
  CHECK(viewers[2].eye.z == near(1.6));
  CHECK(viewers[2].target.z == near(2.65));
  // door D: wall y = 0 runs from x = 4.2 to 0, so its middle is at 4.2 − 1.313
  CHECK(viewers[3].eye.x == near(4.2 - 0.9 - 0.413));
  CHECK(viewers[3].eye.y == near(0.3));
  CHECK(viewers[3].only_surface == -1);
  // the window is in the wall at A's right end: one stands at the left end and looks towards it
  CHECK(viewers[4].eye.x == near(0.4));
  CHECK(viewers[4].eye.y == near(0.3));
  CHECK(viewers[4].target.y == near(6.2));
  CHECK(glm::length(viewers[6].eye - dvec3(2.1, 3.1, 1.2)) == near(0));
}

TEST_CASE("viewers stay inside tight rooms", "[room]") {
  // a 1.2 m corridor: 0.1 m short of the opposite wall
  Job corridor = bare_job({{0, 0}, {0, 5}, {1.2, 5}, {1.2, 0}}, 1.55);
  corridor.surfaces = {boarded("A", {1.2, 3.0}), boarded("ceiling", {1.2, 3.0})};
  Diagnostics diagnostics;
  const Room room = room_of(corridor);
  const std::vector<Viewer> viewers = make_viewers(corridor, room, diagnostics);
  CHECK(viewers[0].eye.x == near(1.1));
  CHECK(viewers[0].eye.z == near(1.45));
  Random random(11);
  for (int trial = 0; trial < 200; ++trial) {
    Job job = bare_job(random_star(random, {0, 0}, 3 + trial % 8, 1, 5), random.uniform(1.5, 6));
    for (const auto& name : job.room.walls) job.surfaces.push_back(boarded(*name, {1.2, 3.0}));
    job.surfaces.push_back(boarded("ceiling", {1.2, 3.0}));
    Diagnostics found;
    const std::optional<Room> star = make_room(job, found);
    if (!star) continue;
    for (const Viewer& v : make_viewers(job, *star, found)) {
      INFO(v.name << " " << v.eye.x << " " << v.eye.y << " " << v.eye.z);
      CHECK(star->contains(dvec2(v.eye)));
      CHECK(distance_to_outline(star->plan, dvec2(v.eye)) > 1e-3);
      CHECK(v.eye.z > 0);
      CHECK(v.eye.z < star->height);
      CHECK(glm::length(v.target - v.eye) > 0.01);
      if (v.only_surface >= 0) CHECK(star->surfaces[v.only_surface].frame.height_of(v.eye) > 1e-3);
    }
  }
}

TEST_CASE("a job's own viewers replace the standing ones", "[room]") {
  Job job = long_room();
  job.surfaces = {boarded("A", {1.2, 3.0})};
  ViewerSpec spec;
  spec.name = written(std::string("bed"));
  spec.eye = written(dvec3{3.6, 0.6, 1.1});
  spec.look = written(std::string("A"));
  job.viewers = {spec};
  const Room room = room_of(job);
  Diagnostics diagnostics;
  const std::vector<Viewer> viewers = make_viewers(job, room, diagnostics);
  REQUIRE(viewers.size() == 1);
  CHECK(viewers[0].name == "bed");
  CHECK(viewers[0].target.y == near(3.1));
  job.viewers[0].eye = written(dvec3{5, 0.6, 1.1});
  CHECK(make_viewers(job, room, diagnostics).empty());
  REQUIRE(diagnostics.all().size() == 1);
  CHECK(diagnostics.all()[0].wrong == "viewer bed at [5000, 600] stands outside the room");
  CHECK(diagnostics.all()[0].other.begin == job.room.corners.at.begin);
}
