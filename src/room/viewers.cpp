// Where people stand to judge a surface.
#include <algorithm>
#include <cmath>
#include <fmt/format.h>

#include "room/plan.h"
#include "room/room.h"
#include "room/say.h"

namespace rakelight {
namespace {

constexpr double inspection_distance = 2.0;  // 1.5 to 2 m: AS/NZS 2311:2009 as quoted; 2 m: NHBC 2020
constexpr double standing = 1.6;             // within the 1.5 to 1.8 m of BRANZ Build 155 (persons' height less brow)
constexpr double seated = 1.2;               // common practice for a seated eye

/// A standing height that also fits under a low ceiling.
double eye_height(const Room& room, double wanted) { return std::min(wanted, room.height - 0.1); }

/// How far off a wall's face one can stand at `x` along it: `wanted`, or 0.1 m short of what faces it, or
/// half way where even that is too tight.
double stand_off(const Room& room, const Surface& wall, double x, double wanted) {
  const dvec2 foot(wall.frame.world_from_surface({x, 0}));
  const double clear = distance_along(room.plan, foot, dvec2(wall.frame.n), std::max(room.tolerance, 1e-9));
  return std::min(wanted, std::max(clear - 0.1, 0.5 * clear));
}

dvec3 eye_off_wall(const Room& room, const Surface& wall, double x, double off) {
  return wall.frame.world_from_surface({x, eye_height(room, standing)}, stand_off(room, wall, x, off));
}

/// The middle of a surface; of a wall at eye height, so that one looks at it level.
dvec3 middle_of_surface(const Room& room, const Surface& surface) {
  if (surface.kind == Surface::Kind::wall)
    return surface.frame.world_from_surface({0.5 * surface.box.hi.x, eye_height(room, standing)});
  return surface.frame.world_from_surface(room.middle());
}

Viewer inspection(const Room& room, int index) {
  const Surface& surface = room.surfaces[index];
  Viewer viewer{"inspection", {}, middle_of_surface(room, surface), index};
  if (surface.kind == Surface::Kind::wall) {
    viewer.eye = eye_off_wall(room, surface, 0.5 * surface.box.hi.x, inspection_distance);
  } else {
    viewer.eye = viewer.target;
    // from the floor, whatever the distance: nobody floats 2 m below a high ceiling
    viewer.eye.z = eye_height(room, standing);
  }
  return viewer;
}

/// What somebody looks at who has not been told: the first boarded wall in sight, else straight on.
dvec3 first_sight(const Job& job, const Room& room, dvec3 eye, dvec3 straight_on) {
  for (const SurfaceSpec& spec : job.surfaces) {
    const int index = room.find(*spec.name);
    if (index < 0 || index >= room.wall_count()) continue;
    const Surface& wall = room.surfaces[index];
    dvec3 target = middle_of_surface(room, wall);
    target.z = eye.z;
    if (wall.frame.height_of(eye) > 0.5 && room.sees(eye, target)) return target;
  }
  return straight_on;
}

Viewer doorway(const Job& job, const Room& room) {
  const Door& door = room.doors.front();
  const Surface& wall = room.surfaces[door.surface];
  const double x = 0.5 * (door.opening.lo.x + door.opening.hi.x);
  Viewer viewer{"doorway", eye_off_wall(room, wall, x, 0.3), {}, -1};
  viewer.target = first_sight(job, room, viewer.eye, viewer.eye + wall.frame.n);
  return viewer;
}

double distance_to_nearest_window(const Room& room, dvec3 eye) {
  double nearest = 0;
  bool first = true;
  for (const Window& w : room.windows) {
    const dvec3 middle = room.surfaces[w.surface].frame.world_from_surface(0.5 * (w.opening.lo + w.opening.hi));
    const double distance = glm::length(middle - eye);
    if (first || distance < nearest) nearest = distance;
    first = false;
  }
  return nearest;
}

Viewer along(const Room& room, const Surface& wall) {
  const double length = wall.box.hi.x, inset = std::min(0.3, 0.25 * length), height = eye_height(room, standing);
  Viewer left{"along " + wall.name, eye_off_wall(room, wall, inset, 0.4), wall.frame.world_from_surface({length, height}), -1};
  Viewer right{left.name, eye_off_wall(room, wall, length - inset, 0.4), wall.frame.world_from_surface({0, height}), -1};
  const bool left_sees = room.sees(left.eye, left.target), right_sees = room.sees(right.eye, right.target);
  if (left_sees != right_sees) return left_sees ? left : right;
  const double from_left = distance_to_nearest_window(room, left.eye), from_right = distance_to_nearest_window(room, right.eye);
  return from_right > from_left + 1e-3 ? right : left;
}

Viewer in_the_middle(const Job& job, const Room& room) {
  const dvec2 middle = room.middle();
  Viewer viewer{"seated", {middle.x, middle.y, eye_height(room, seated)}, {}, -1};
  viewer.target = first_sight(job, room, viewer.eye, viewer.eye - room.surfaces.front().frame.n);
  return viewer;
}

/// A viewer of the job, when it can stand there.
std::optional<Viewer> placed(const Job& job, const Room& room, const ViewerSpec& spec, Diagnostics& diagnostics) {
  const dvec3 eye = *spec.eye;
  Viewer viewer{*spec.name, eye, {}, -1};
  if (!room.contains(dvec2(eye))) {
    diagnostics.error(spec.eye.at, fmt::format("viewer {} at {} stands outside the room", viewer.name, point_text(job.units, dvec2(eye))),
                      "a place inside the corners", job.room.corners.at, "the room is this");
    return {};
  }
  if (!(eye.z > 0 && eye.z < room.height)) {
    diagnostics.error(spec.eye.at, fmt::format("viewer {} has an eye {} above the floor", viewer.name, length_text(job.units, eye.z)),
                      fmt::format("between the floor and the ceiling at {}", length_text(job.units, room.height)),
                      job.room.height.at, fmt::format("the room is {} high", length_text(job.units, room.height)));
    return {};
  }
  if (spec.look_point) {
    viewer.target = *spec.look_point;
  } else if (spec.look.given) {
    const int index = room.find(*spec.look);
    if (index < 0) {
      diagnostics.error(spec.look.at, fmt::format("viewer {} looks at {}, which is no surface", viewer.name, *spec.look),
                        "a wall's name, \"ceiling\", \"floor\" or a point [x, y, z]");
      return {};
    }
    const Surface& surface = room.surfaces[index];
    viewer.target = middle_of_surface(room, surface);
    if (surface.frame.height_of(eye) < 1e-3)
      diagnostics.warn(spec.eye.at, fmt::format("viewer {} stands behind the face of {} and sees nothing of it", viewer.name, surface.name),
                       "a place in front of it", spec.look.at, "looks here");
  } else {
    viewer.target = first_sight(job, room, eye, middle_of_surface(room, room.surfaces.front()));
  }
  if (glm::length(viewer.target - eye) < 1e-3) {
    diagnostics.error(spec.eye.at, fmt::format("viewer {} looks at its own eye", viewer.name), "a point some way off",
                      spec.look.at, "looks here");
    return {};
  }
  return viewer;
}

}  // namespace

std::vector<Viewer> make_viewers(const Job& job, const Room& room, Diagnostics& diagnostics) {
  std::vector<Viewer> viewers;
  for (const ViewerSpec& spec : job.viewers)
    if (std::optional<Viewer> viewer = placed(job, room, spec, diagnostics)) viewers.push_back(*viewer);
  if (!job.viewers.empty()) return viewers;
  for (std::size_t i = 0; i < room.surfaces.size(); ++i)
    if (room.surfaces[i].spec >= 0) viewers.push_back(inspection(room, static_cast<int>(i)));
  if (!room.doors.empty()) viewers.push_back(doorway(job, room));
  for (int i = 0; i < room.wall_count(); ++i)
    if (room.surfaces[i].spec >= 0) viewers.push_back(along(room, room.surfaces[i]));
  viewers.push_back(in_the_middle(job, room));
  return viewers;
}

}  // namespace rakelight
