// Sight lines in plan, against a sampler that walks along the line.
#include <catch2/catch.hpp>
#include <ctime>

#include "room/plan.h"
#include "room/room.h"
#include "unit/room/rooms.h"

using namespace rakelight;

namespace {

dvec3 at(double x, double y) { return {x, y, 1}; }

/// How deep the line runs outside the room, m, at 2,000 stations: 0 when it stays inside.
double depth_outside(const Room& room, dvec2 a, dvec2 b) {
  double deepest = 0;
  for (int i = 0; i <= 2000; ++i) {
    const dvec2 p = a + (b - a) * (i / 2000.0);
    if (!outline_contains(room.plan, p, 1e-12)) deepest = std::max(deepest, distance_to_outline(room.plan, p));
  }
  return deepest;
}

/// A point on a random wall's face.
dvec2 on_wall(Random& random, const Room& room) {
  const Surface& w = room.surfaces[static_cast<std::size_t>(random.uniform() * room.wall_count())];
  return dvec2(w.frame.world_from_surface({random.uniform() * w.box.hi.x, 0}));
}

dvec2 inside(Random& random, const Room& room) {
  const Rect box = room.surfaces[room.floor()].box;
  for (;;) {
    const dvec2 p{random.uniform(box.lo.x, box.hi.x), random.uniform(box.lo.y, box.hi.y)};
    if (room.contains(p)) return p;
  }
}

}  // namespace

TEST_CASE("sight lines round the corner of an L", "[room]") {
  const Room room = room_of(l_room());  // inner corner at (3, 3)
  CHECK(room.sees(at(1, 1), at(5, 1)));
  CHECK_FALSE(room.sees(at(2, 5), at(5, 2)));
  CHECK(room.sees(at(1, 5), at(5, 1)));          // straight through the corner: touching is seen
  CHECK_FALSE(room.sees(at(1.001, 5), at(5, 1.001)));
  CHECK(room.sees(at(0.999, 5), at(5, 0.999)));
  CHECK(room.sees(at(3, 3), at(6, 3)));          // along the inner wall
  CHECK(room.sees(at(3, 4), at(3, 6)));
  CHECK(room.sees(at(3, 6), at(3, 0)));          // along it and on, past its end
  CHECK_FALSE(room.sees(at(3, 5), at(5, 3)));    // from face to face behind the corner
  CHECK_FALSE(room.sees(at(3, 6), at(6, 3)));    // both ends in corners, nothing but outside between
  CHECK(room.sees(at(0, 0), at(3, 3)));          // from corner to corner
  CHECK(room.sees({1, 1, 0}, {1, 1, 2.5}));      // straight up
}

TEST_CASE("sight lines across a plus", "[room]") {
  const Room room = room_of(plus_room());
  CHECK(room.sees(at(3, 0), at(3, 6)));
  CHECK(room.sees(at(2, 0), at(2, 6)));          // grazing two corners and the faces between them
  CHECK_FALSE(room.sees(at(3, 0.5), at(0.5, 3)));
  CHECK(room.sees(at(3, 1), at(1, 3)));          // touching (2, 2)
  CHECK_FALSE(room.sees(at(2, 0), at(0, 2)));
  CHECK_FALSE(room.sees(at(2, 1), at(1, 2)));
}

TEST_CASE("sight lines agree with walking along them", "[room]") {
  // The sampler's steps are at most 12 m / 2000 = 6 mm, so a corner cut shallower than that may slip between two
  // samples; lines that pass a corner within 5 mm without touching are left out, and at most a twentieth are.
  Random random(99);
  int asked = 0, skipped = 0;
  for (int trial = 0; trial < 60; ++trial) {
    Diagnostics diagnostics;
    const std::optional<Room> made = make_room(bare_job(random_star(random, {1, 2}, 5 + trial % 8, 1.5, 6), 2.5), diagnostics);
    if (!made) continue;
    const Room& room = *made;
    for (int k = 0; k < 60; ++k) {
      const dvec2 a = k % 3 ? on_wall(random, room) : inside(random, room);
      const dvec2 b = k % 2 ? on_wall(random, room) : inside(random, room);
      ++asked;
      bool close = false;
      for (dvec2 corner : room.plan) close = close || distance_to_segment(corner, a, b) < 5e-3;
      if (close) {
        ++skipped;
        continue;
      }
      const double depth = depth_outside(room, a, b);
      INFO("from " << a.x << ", " << a.y << " to " << b.x << ", " << b.y << " depth " << depth);
      // points on a face are 1e-15 off it
      CHECK(room.sees({a, 1}, {b, 1}) == (depth < 1e-9));
      CHECK(room.sees({b, 1}, {a, 1}) == (depth < 1e-9));
    }
  }
  CHECK(asked > 2000);
  CHECK(skipped < asked / 20);
}

TEST_CASE("corners of a room see each other as the polygon says", "[room]") {
  // Lines from corner to corner are all touch and no crossing. The sampler takes away lines that leave by more
  // than 1e-9 m; exact arithmetic on whole metres leaves none between 0 and that.
  for (const Room& room : {room_of(l_room()), room_of(plus_room())})
    for (dvec2 a : room.plan)
      for (dvec2 b : room.plan) {
        INFO("from " << a.x << ", " << a.y << " to " << b.x << ", " << b.y);
        CHECK(room.sees({a, 1}, {b, 1}) == (depth_outside(room, a, b) < 1e-9));
      }
}

TEST_CASE("faces in one plane see along it", "[room]") {
  // The two faces at x = 2 of the plus, seen from one another: along the plane, over the arm between them.
  const Room room = room_of(plus_room());
  CHECK(room.sees(at(2, 1), at(2, 5)));
  // rotated so that no coordinate is round
  const double c = std::cos(0.3), s = std::sin(0.3);
  std::vector<dvec2> plan;
  for (dvec2 p : room.plan) plan.push_back({c * p.x + s * p.y + 17.3, c * p.y - s * p.x - 5.1});
  const Room turned = room_of(bare_job(plan, 2.5));
  for (int i = 0; i < 12; ++i) {
    const Surface& w = turned.surfaces[i];
    CHECK(turned.sees(w.frame.world_from_surface({0.1, 1}), w.frame.world_from_surface({1.7, 1})));
    CHECK(turned.sees(w.frame.origin, w.frame.world_from_surface({2, 1})));
  }
  const Frame &low = turned.surfaces[0].frame, &high = turned.surfaces[4].frame;  // x = 2, y 0–2 and 4–6
  CHECK(turned.sees(low.world_from_surface({1, 1}), high.world_from_surface({1, 1})));
}

TEST_CASE("sight lines are quick", "[.][bench]") {
  const Room room = room_of(plus_room());
  Random random(5);
  std::vector<dvec2> points;
  for (int i = 0; i < 1000; ++i) points.push_back(on_wall(random, room));
  const std::clock_t start = std::clock();
  int seen = 0;
  for (dvec2 a : points)
    for (dvec2 b : points) seen += room.sees({a, 1}, {b, 1});
  const double seconds = static_cast<double>(std::clock() - start) / CLOCKS_PER_SEC;
  WARN("12 corners: " << seconds * 1e3 << " ns of processor time each, " << seen << " of 1000000 seen");
}
