#include "room/room.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "room/check.h"
#include "room/plan.h"

namespace rakelight {
namespace {

Surface wall_between(const Job& job, std::size_t i, double height) {
  const std::vector<dvec2>& corners = *job.room.corners;
  const dvec2 from = corners[i], to = corners[(i + 1) % corners.size()];
  const double length = glm::length(to - from);
  const dvec2 t = (to - from) / length;
  Surface wall;
  wall.name = wall_name(job, i);
  wall.kind = Surface::Kind::wall;
  wall.frame = {{from.x, from.y, 0}, {t.x, t.y, 0}, {0, 0, 1}, {t.y, -t.x, 0}};
  wall.outline = {{0, 0}, {length, 0}, {length, height}, {0, height}};
  wall.box = {{0, 0}, {length, height}};
  wall.reflectance = *job.room.wall_reflectance;
  return wall;
}

Surface lying(const std::vector<dvec2>& plan, Surface::Kind kind, double z, double reflectance) {
  Surface surface;
  const bool ceiling = kind == Surface::Kind::ceiling;
  surface.name = ceiling ? "ceiling" : "floor";
  surface.kind = kind;
  surface.frame = {{0, 0, z}, {1, 0, 0}, {0, 1, 0}, {0, 0, ceiling ? -1 : 1}};
  surface.outline = plan;
  surface.box = {plan.front(), plan.front()};
  for (dvec2 p : plan) surface.box = {glm::min(surface.box.lo, p), glm::max(surface.box.hi, p)};
  surface.reflectance = reflectance;
  return surface;
}

bool is_convex(const std::vector<dvec2>& plan, double tolerance) {
  for (std::size_t i = 0; i < plan.size(); ++i) {
    const dvec2 a = plan[i], b = plan[(i + 1) % plan.size()], c = plan[(i + 2) % plan.size()];
    // clockwise, so a left turn is a corner that juts into the room
    if (cross(b - a, c - b) > tolerance * std::max(glm::length(b - a), glm::length(c - b))) return false;
  }
  return true;
}

Room raise_walls(const Job& job) {
  Room room;
  room.plan = *job.room.corners;
  room.height = *job.room.height;
  for (std::size_t i = 0; i < room.plan.size(); ++i) room.surfaces.push_back(wall_between(job, i, room.height));
  room.surfaces.push_back(lying(room.plan, Surface::Kind::ceiling, room.height, *job.room.ceiling_reflectance));
  room.surfaces.push_back(lying(room.plan, Surface::Kind::floor, 0, *job.room.floor_reflectance));
  const Rect box = room.surfaces.back().box;
  room.tolerance = 1e-9 * std::max(box.width(), box.height());
  room.convex = is_convex(room.plan, room.tolerance);
  return room;
}

void cover_surfaces(const Job& job, Room& room, Diagnostics& diagnostics) {
  for (std::size_t i = 0; i < job.surfaces.size(); ++i) {
    const SurfaceSpec& spec = job.surfaces[i];
    const int index = room.find(*spec.name);
    if (index < 0 || index == room.floor()) {
      diagnostics.error(spec.name.at, "there is no wall " + *spec.name + " to board", "a name from room.walls, or \"ceiling\"");
      continue;
    }
    room.surfaces[index].spec = static_cast<int>(i);
    room.surfaces[index].reflectance = *spec.reflectance;
  }
}

WindowShades shades_of(const WindowSpec& spec, const Rect& opening) {
  constexpr double endless = 1e4;  // m
  WindowShades s;
  s.eaves = *spec.eaves;
  s.eaves_y = opening.hi.y + *spec.eaves_above;
  const double past = spec.eaves_past.given ? *spec.eaves_past : endless;
  s.eaves_lo = opening.lo.x - past;
  s.eaves_hi = opening.hi.x + past;
  s.left = *spec.fin_left;
  s.left_x = opening.lo.x - *spec.fin_off;
  s.right = *spec.fin_right;
  s.right_x = opening.hi.x + *spec.fin_off;
  s.reflectance = *spec.outer_reflectance;
  return s;
}

void cut_openings(const Job& job, Room& room) {
  for (const WindowSpec& spec : job.windows) {
    Window w;
    w.name = *spec.name;
    w.surface = room.find(*spec.wall);
    w.opening.lo = room.in_roof(w) ? *spec.place : dvec2{*spec.from_left, *spec.sill};
    w.opening.hi = w.opening.lo + dvec2{*spec.width, *spec.height};
    w.reveal = *spec.reveal;
    w.reveal_reflectance = *spec.reveal_reflectance;
    w.frame = *spec.frame;
    w.glazing = *spec.glazing;
    w.transmittance = spec.transmittance;
    if (!room.in_roof(w)) w.shades = shades_of(spec, w.opening);
    if (*spec.cover != CoverSpec::none) w.cover = {*spec.cover_direct, *spec.cover_scatter, *spec.cover_reflectance};
    w.at = spec.at;
    room.windows.push_back(w);
  }
  for (const DoorSpec& spec : job.doors) {
    Door d;
    d.surface = room.find(*spec.wall);
    d.opening = {{*spec.from_left, 0}, {*spec.from_left + *spec.width, *spec.height}};
    d.reflectance = *spec.reflectance;
    d.at = spec.at;
    room.doors.push_back(d);
  }
}

}  // namespace

bool Surface::contains(dvec2 p) const {
  if (kind == Kind::wall) return box.contains(p);
  return outline_contains(outline, p, 1e-9 * std::max(box.width(), box.height()));
}

int Room::find(const std::string& name) const {
  for (std::size_t i = 0; i < surfaces.size(); ++i)
    if (surfaces[i].name == name) return static_cast<int>(i);
  return -1;
}

bool Room::sees(dvec3 a, dvec3 b) const { return convex || outline_holds(plan, dvec2(a), dvec2(b), tolerance); }

int Room::nearest_wall(dvec2 plan_point) const {
  int nearest = 0;
  double least = std::numeric_limits<double>::infinity();
  for (int i = 0; i < wall_count(); ++i) {
    const double distance = distance_to_segment(plan_point, plan[i], plan[(i + 1) % plan.size()]);
    if (distance >= least) continue;
    least = distance;
    nearest = i;
  }
  return nearest;
}

bool Room::contains(dvec2 plan_point) const { return outline_contains(plan, plan_point, tolerance); }

dvec2 Room::middle() const { return middle_of(plan, convex); }

std::optional<Room> make_room(const Job& job, Diagnostics& diagnostics) {
  Diagnostics found;
  std::optional<Room> room;
  if (check_outline(job, found)) {
    const bool outline_stands = found.ok();
    room = raise_walls(job);
    cover_surfaces(job, *room, found);
    cut_openings(job, *room);
    check_openings(job, *room, found);
    // "outside" means nothing while the outline crosses itself
    if (outline_stands) check_lamps(job, *room, found);
  }
  for (const Diagnostic& d : found.all()) {
    if (d.level == Diagnostic::Level::error) diagnostics.error(d.at, d.wrong, d.right, d.other, d.other_says);
    else diagnostics.warn(d.at, d.wrong, d.right, d.other, d.other_says);
  }
  if (!found.ok()) room.reset();
  return room;
}

}  // namespace rakelight
