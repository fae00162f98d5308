// Rooms for tests, built without a job file. Every value has its own place (span), so that a test can ask
// which place a diagnostic names.
#pragma once
#include <catch2/catch.hpp>
#include <cmath>
#include <initializer_list>
#include <optional>
#include <string>
#include <vector>

#include "base/random.h"
#include "base/units.h"
#include "job/job.h"
#include "room/room.h"

namespace rakelight {

/// A key that was written, at a place of its own.
template <class T>
Key<T> written(T value) {
  static std::size_t place = 0;
  Key<T> key(std::move(value));
  key.at = {place, place + 1};
  place += 10;
  key.given = true;
  return key;
}

/// A job with just these walls (A, B, C …), bare.
inline Job bare_job(std::vector<dvec2> corners, double height) {
  Job job;
  for (std::size_t i = 0; i < corners.size(); ++i) {
    std::string name(1, static_cast<char>('A' + i % 26));
    job.room.walls.push_back(written(i < 26 ? name : name + std::to_string(i / 26)));
  }
  job.room.corners = written(std::move(corners));
  job.room.height = written(height);
  job.room.floor_reflectance = written(0.25);
  job.room.wall_reflectance = written(0.5);
  job.room.ceiling_reflectance = written(0.7);
  return job;
}

/// The long room of the job-file example: 4.2 × 6.2 × 2.65 m, walls A (the long one, x = 0), B, C, D.
inline Job long_room() { return bare_job({{0, 0}, {0, 6.2}, {4.2, 6.2}, {4.2, 0}}, 2.65); }

/// An L: 6 × 6 m without its top right quarter.
inline Job l_room() { return bare_job({{0, 0}, {0, 6}, {3, 6}, {3, 3}, {6, 3}, {6, 0}}, 2.5); }

/// Twelve corners: a plus with arms 2 m wide and 2 m long.
inline Job plus_room() {
  return bare_job({{2, 0}, {2, 2}, {0, 2}, {0, 4}, {2, 4}, {2, 6}, {4, 6}, {4, 4}, {6, 4}, {6, 2}, {4, 2}, {4, 0}}, 2.5);
}

inline WindowSpec window(std::string name, std::string wall, double from_left, double sill, double width, double height) {
  WindowSpec w;
  w.name = written(std::move(name));
  w.wall = written(std::move(wall));
  w.from_left = written(from_left);
  w.sill = written(sill);
  w.width = written(width);
  w.height = written(height);
  w.reveal = written(0.18);
  w.reveal_reflectance = written(0.7);
  w.frame = written(0.07);
  w.glazing = written(Glass::double_pane);
  return w;
}

inline DoorSpec door(std::string wall, double from_left, double width, double height) {
  DoorSpec d;
  d.wall = written(std::move(wall));
  d.from_left = written(from_left);
  d.width = written(width);
  d.height = written(height);
  d.reflectance = written(0.5);
  return d;
}

inline LampSpec lamp(std::string name, dvec3 at) {
  LampSpec l;
  l.name = written(std::move(name));
  l.kind = written(LampKind::downlight);
  l.position = written(at);
  l.aim = written(dvec3{0, 0, -1});
  l.size = written(0.08);
  return l;
}

inline SurfaceSpec boarded(std::string name, dvec2 sheet, RunSpec run = RunSpec::automatic) {
  SurfaceSpec s;
  s.name = written(std::move(name));
  s.run = written(run);
  s.sheet = written(sheet);
  s.reflectance = written(0.82);
  return s;
}

/// Corners of a star-shaped outline about `centre`, clockwise, at random radii.
inline std::vector<dvec2> random_star(Random& random, dvec2 centre, int corners, double least, double most) {
  std::vector<dvec2> out;
  for (int i = 0; i < corners; ++i) {
    const double turn = -2 * pi * (i + random.uniform(0.1, 0.9)) / corners, radius = random.uniform(least, most);
    out.push_back(centre + radius * dvec2{std::cos(turn), std::sin(turn)});
  }
  return out;
}

/// The plan seen in a mirror across x = 0, walked so that walls still run left to right: wall i of the room
/// is wall n − 1 − i of its image (with corners reversed, the wall between i and i + 1 becomes that one).
inline std::vector<dvec2> mirrored(const std::vector<dvec2>& plan) {
  std::vector<dvec2> out;
  for (std::size_t i = 0; i < plan.size(); ++i) {
    const dvec2 p = plan[(plan.size() - i) % plan.size()];
    out.push_back({-p.x, p.y});
  }
  return out;
}

inline Room room_of(const Job& job) {
  Diagnostics diagnostics;
  std::optional<Room> room = make_room(job, diagnostics);
  INFO(diagnostics.to_text("test", std::string(1000000, ' ')));
  REQUIRE(room);
  return *room;
}

}  // namespace rakelight
