// The room that the picture tests draw: a long wall with joints beside a window in low sun, a lamp tight to it.
#pragma once
#include <array>
#include <cmath>

#include "draw/camera.h"
#include "draw/draw.h"
#include "draw/renderer.h"
#include "unit/light/rooms.h"
#include "unit/look/stage.h"

namespace rakelight::testing {

/// Built once for all tests, as its light takes seconds: in matt over a true face, over framing out of line, and in satin.
inline const Scene& stage_scene(std::size_t which) {
  static const std::array<Scene, 3> scenes = [] {
    Job job = demo_job();
    DoorSpec door;
    door.wall = std::string("D");
    door.from_left = 0.9;
    door.width = 0.826;
    door.height = 2.04;
    door.reflectance = 0.5;
    job.doors.push_back(door);
    const Room room = room_of(job);
    LightDetail detail;
    detail.patch = 0.5;
    detail.fields = {0, room.floor()};
    Moment moment = clear_sky(job, {0.17, 1, 0.14}, 20000);
    moment.lamp_on.assign(1, true);
    const Lighting lighting = make_lighting(job, room, make_basis(job, room, detail), moment);
    std::vector<Relief> reliefs(room.surfaces.size());
    // a wide crown with two sharp ridges of 0.1 mm, 4 mm wide, as a blade leaves them
    auto butt = [](double u) {
      HeightAndSlope v{0.5e-3 * (1 + std::cos(pi * u / 0.28)), -0.5e-3 * pi / 0.28 * std::sin(pi * u / 0.28)};
      for (const double at : {-0.1, 0.1}) {
        const double x = (u - at) / 0.002, g = 1e-4 * std::exp(-0.5 * x * x);
        v.h += g;
        v.slope -= g * x / 0.002;
      }
      return v;
    };
    reliefs[0].joints.push_back(raised_cosine(0, {0, 1.2}, {6.2, 1.2}, 0.5e-3, 0.14));
    reliefs[0].joints.push_back(shaped_joint(0, {3.0, 0}, {3.0, 1.2}, 0.28, 0.5e-3, butt));
    reliefs[0].joints.push_back(shaped_joint(0, {1.5, 1.2}, {1.5, 2.4}, 0.28, 0.5e-3, butt));
    std::vector<Paint> paints(room.surfaces.size(), Stage::named("matt", 0.8));
    std::array<Scene, 3> made{make_scene(room, lighting, reliefs, paints), {}, make_scene(room, lighting, reliefs, std::vector<Paint>(paints.size(), Stage::named("satin", 0.8)))};
    reliefs[0].substrate = proud_member(3.2e-3, 0.6, 12);
    reliefs[0].substrate->members[3].bow = -2e-3;
    bend(*reliefs[0].substrate);
    made[1] = make_scene(room, lighting, reliefs, paints);
    return made;
  }();
  return scenes[which];
}
inline const Scene& drawn_scene(bool framed = false) { return stage_scene(framed ? 1 : 0); }
inline const Scene& satin_scene() { return stage_scene(2); }

inline View room_view(int width, int height) {
  View view;
  view.kind = View::Kind::perspective;
  view.eye = {3.6, 0.6, 1.6};
  view.target = {0.6, 5.0, 1.2};
  view.width = width;
  view.height = height;
  return view;
}
/// Towards the door, with the lamp in sight.
inline View back_view(int width, int height) {
  View view = room_view(width, height);
  view.eye = {3.0, 5.6, 1.5};
  view.target = {1.0, 0.5, 1.5};
  return view;
}
inline View wall_view(int width, int height) {
  View view;
  view.kind = View::Kind::square_on;
  view.surface = 0;
  view.region = {{-0.25, -0.25}, {6.45, 2.9}};
  view.eye = {2.0, 3.1, 1.6};
  view.width = width;
  view.height = height;
  return view;
}

}  // namespace rakelight::testing
