// Windows in walls and roof, doors and lamps: whether they fit where they are put.
#include <algorithm>
#include <array>
#include <cmath>
#include <fmt/format.h>
#include <limits>

#include "room/check.h"
#include "room/plan.h"
#include "room/say.h"

namespace rakelight {
namespace {

constexpr double touch = 1e-6;  // m: less than this is touching, which is fine

/// A window or a door, with the places its figures were written.
struct Opening {
  std::string name;  ///< "window W1", "the door in wall A"
  int wall = 0;
  Rect rect;
  double depth = 0;  ///< reveal
  Span from_left, sill, width, height;
};

std::vector<Opening> all_openings(const Job& job, const Room& room) {
  std::vector<Opening> all;
  for (const WindowSpec& w : job.windows) {
    const int wall = room.find(*w.wall);
    const bool roof = wall == room.ceiling();
    const dvec2 lo = roof ? *w.place : dvec2{*w.from_left, *w.sill};
    all.push_back({"window " + *w.name, wall, {lo, lo + dvec2{*w.width, *w.height}}, *w.reveal,
                   roof ? w.place.at : w.from_left.at, roof ? w.place.at : w.sill.at, w.width.at, w.height.at});
  }
  for (const DoorSpec& d : job.doors) {
    const dvec2 lo{*d.from_left, 0};
    all.push_back({"the door in wall " + *d.wall, room.find(*d.wall), {lo, lo + dvec2{*d.width, *d.height}}, 0,
                   d.from_left.at, d.height.at, d.width.at, d.height.at});
  }
  return all;
}

void check_against_wall(const Job& job, const Room& room, const Opening& o, Diagnostics& diagnostics) {
  const Surface& wall = room.surfaces[o.wall];
  const double length = wall.box.hi.x, height = wall.box.hi.y;
  auto text = [&](double m) { return length_text(job.units, m); };
  if (!(o.rect.width() > touch))
    diagnostics.error(o.width, fmt::format("{} is {} wide", o.name, text(o.rect.width())), "a width above 0");
  if (!(o.rect.height() > touch))
    diagnostics.error(o.height, fmt::format("{} is {} high", o.name, text(o.rect.height())), "a height above 0");
  if (o.rect.lo.x < -touch)
    diagnostics.error(o.from_left, fmt::format("{} starts {} before the left end of wall {}", o.name, text(-o.rect.lo.x), wall.name),
                      "from_left of 0 or more");
  if (o.rect.lo.y < -touch)
    diagnostics.error(o.sill, fmt::format("{} starts {} below the floor", o.name, text(-o.rect.lo.y)), "sill of 0 or more");
  if (o.rect.hi.x > length + touch)
    diagnostics.error(o.from_left, fmt::format("{} reaches {} past the right end of wall {}", o.name, text(o.rect.hi.x - length), wall.name),
                      fmt::format("from_left + width at most {} (now {})", text(length), text(o.rect.hi.x)),
                      job.room.corners.at, fmt::format("wall {} is {} long by these corners", wall.name, text(length)));
  if (o.rect.hi.y > height + touch)
    diagnostics.error(o.height, fmt::format("{} reaches {} above the ceiling", o.name, text(o.rect.hi.y - height)),
                      fmt::format("{}height at most {} (now {})", o.rect.lo.y > 0 ? "sill + " : "", text(height), text(o.rect.hi.y)),
                      job.room.height.at, fmt::format("the room is {} high", text(height)));
}

/// Whether two convex quadrilaterals overlap (separating axes); {p, p, q, q} is the segment p–q.
bool overlap(const std::array<dvec2, 4>& a, const std::array<dvec2, 4>& b) {
  for (const auto* shape : {&a, &b})
    for (std::size_t i = 0; i < 4; ++i) {
      const dvec2 edge = (*shape)[(i + 1) % 4] - (*shape)[i];
      if (edge == dvec2{0}) continue;
      const dvec2 axis{edge.y, -edge.x};
      double a_lo = std::numeric_limits<double>::infinity(), a_hi = -a_lo, b_lo = a_lo, b_hi = -a_lo;
      for (std::size_t k = 0; k < 4; ++k) {
        a_lo = std::min(a_lo, glm::dot(a[k], axis));
        a_hi = std::max(a_hi, glm::dot(a[k], axis));
        b_lo = std::min(b_lo, glm::dot(b[k], axis));
        b_hi = std::max(b_hi, glm::dot(b[k], axis));
      }
      if (a_hi <= b_lo || b_hi <= a_lo) return false;
    }
  return true;
}

/// A roof window: all of it over the room.
void check_against_ceiling(const Job& job, const Room& room, const Opening& o, Diagnostics& diagnostics) {
  const Rect in{o.rect.lo + touch, o.rect.hi - touch};
  const std::array<dvec2, 4> corners{in.lo, dvec2{in.hi.x, in.lo.y}, in.hi, dvec2{in.lo.x, in.hi.y}};
  for (dvec2 c : corners)
    if (!room.contains(c)) {
      diagnostics.error(o.from_left, fmt::format("{} reaches out of the room at {}", o.name, point_text(job.units, c)), "a place over the room's plan, all of it",
                        job.room.corners.at, "the room is this");
      return;
    }
  for (std::size_t i = 0; i < room.plan.size(); ++i) {
    const dvec2 p = room.plan[i], q = room.plan[(i + 1) % room.plan.size()];
    if (!overlap(corners, {p, p, q, q})) continue;
    diagnostics.error(o.from_left, fmt::format("{} reaches across wall {}", o.name, room.surfaces[i].name), "a place over the room's plan, all of it",
                      job.room.corners.at, "the room is this");
    return;
  }
}

/// The hole behind the wall's face in plan, drawn in by the touching tolerance.
std::array<dvec2, 4> reveal_in_plan(const Room& room, const Opening& o) {
  const Frame& f = room.surfaces[o.wall].frame;
  auto at = [&](double x, double out) { return dvec2(f.world_from_surface({x, 0}, -out)); };
  const double left = o.rect.lo.x + touch, right = o.rect.hi.x - touch, far = std::max(o.depth - touch, 0.0);
  return {at(left, 0), at(right, 0), at(right, far), at(left, far)};
}

/// A reveal that comes out in another part of the room: the wall between is thinner than the reveal is deep.
void check_behind(const Job& job, const Room& room, const Opening& o, const WindowSpec& spec, Diagnostics& diagnostics) {
  if (room.convex || !(o.depth > 2 * touch)) return;
  const std::array<dvec2, 4> hole = reveal_in_plan(room, o);
  for (int i = 0; i < room.wall_count(); ++i) {
    if (i == o.wall) continue;
    const dvec2 p = room.plan[i], q = room.plan[(i + 1) % room.plan.size()];
    if (!overlap(hole, {p, p, q, q})) continue;
    diagnostics.error(spec.reveal.at, fmt::format("the reveal of {}, {} deep, runs into wall {}", o.name, length_text(job.units, o.depth), room.surfaces[i].name),
                      "a shallower reveal, or the window where nothing of the room lies behind it", job.room.corners.at,
                      fmt::format("wall {} runs from {} to {}", room.surfaces[i].name, point_text(job.units, p), point_text(job.units, q)));
    return;
  }
}

void check_pair(const Job& job, const Room& room, const Opening& a, const Opening& b, Diagnostics& diagnostics) {
  const dvec2 lo = glm::max(a.rect.lo, b.rect.lo), hi = glm::min(a.rect.hi, b.rect.hi);
  if (hi.y - lo.y <= touch) return;
  if (a.wall != b.wall && (a.wall == room.ceiling() || b.wall == room.ceiling())) return;
  if (a.wall == b.wall) {
    if (hi.x - lo.x <= touch) return;
    if (a.wall == room.ceiling()) {
      diagnostics.error(b.from_left, fmt::format("{} overlaps {} by {} × {}", b.name, a.name, length_text(job.units, hi.x - lo.x), length_text(job.units, hi.y - lo.y)),
                        "clear of it", a.from_left, fmt::format("{} is here", a.name));
      return;
    }
    diagnostics.error(b.from_left, fmt::format("{} overlaps {} by {} × {}", b.name, a.name, length_text(job.units, hi.x - lo.x),
                                               length_text(job.units, hi.y - lo.y)),
                      fmt::format("clear of {} to {} along wall {}", length_text(job.units, a.rect.lo.x),
                                  length_text(job.units, a.rect.hi.x), room.surfaces[a.wall].name),
                      a.from_left, fmt::format("{} starts here", a.name));
  } else if (a.depth > 2 * touch && b.depth > 2 * touch && overlap(reveal_in_plan(room, a), reveal_in_plan(room, b))) {
    diagnostics.error(b.from_left, fmt::format("the reveals of {} and {} run into each other behind the corner", b.name, a.name),
                      "both farther from the corner, or shallower reveals", a.from_left, fmt::format("{} starts here", a.name));
  }
}

}  // namespace

void check_openings(const Job& job, const Room& room, Diagnostics& diagnostics) {
  const std::vector<Opening> openings = all_openings(job, room);
  std::vector<bool> placed(openings.size(), false);
  for (std::size_t i = 0; i < openings.size(); ++i) {
    const Opening& o = openings[i];
    const Key<std::string>& wall = i < job.windows.size() ? job.windows[i].wall : job.doors[i - job.windows.size()].wall;
    placed[i] = o.wall >= 0 && o.wall < room.wall_count();
    if (!placed[i]) {
      if (i >= job.windows.size() || o.wall != room.ceiling()) {
        diagnostics.error(wall.at, fmt::format("{}: there is no wall {}", o.name, *wall), "a name from room.walls");
        continue;
      }
      placed[i] = true;
    }
    const bool roof = o.wall == room.ceiling();
    if (roof) check_against_ceiling(job, room, o, diagnostics);
    else check_against_wall(job, room, o, diagnostics);
    if (i >= job.windows.size()) continue;
    const WindowSpec& w = job.windows[i];
    const double least = std::min(*w.width, *w.height);
    if (*w.frame < 0 || (least > touch && least - 2 * *w.frame < 1e-3))
      diagnostics.error(w.frame.at, fmt::format("a frame {} wide leaves no glass in {}", length_text(job.units, *w.frame), o.name),
                        fmt::format("less than {}, half of the opening's smaller side", length_text(job.units, least / 2)),
                        *w.width <= *w.height ? w.width.at : w.height.at,
                        fmt::format("the opening is only {} {} here", length_text(job.units, least), *w.width <= *w.height ? "wide" : "high"));
    if (!roof) check_behind(job, room, o, w, diagnostics);
  }
  for (std::size_t i = 0; i < openings.size(); ++i)
    for (std::size_t j = i + 1; j < openings.size(); ++j)
      if (placed[i] && placed[j]) check_pair(job, room, openings[i], openings[j], diagnostics);
}

namespace {

/// Whether a place of a lamp is in the room; says so if not. `what`: "lamp spot", "an end of strip cove".
bool check_lamp_place(const Job& job, const Room& room, const std::string& what, dvec3 at, Span span, Diagnostics& diagnostics) {
  auto text = [&](double m) { return length_text(job.units, m); };
  if (at.z > room.height + touch)
    diagnostics.error(span, fmt::format("{} hangs {} above the ceiling", what, text(at.z - room.height)),
                      fmt::format("a height of at most {} (on the ceiling counts as inside)", text(room.height)),
                      job.room.height.at, fmt::format("the room is {} high", text(room.height)));
  if (at.z < -touch) diagnostics.error(span, fmt::format("{} lies {} below the floor", what, text(-at.z)), "a height of 0 or more");
  if (room.contains(dvec2(at))) return true;
  diagnostics.error(span, fmt::format("{} at {} is outside the room", what, point_text(job.units, dvec2(at))),
                    "a place inside the corners or on a wall", job.room.corners.at, "the room is this");
  return false;
}

}  // namespace

void check_lamps(const Job& job, const Room& room, Diagnostics& diagnostics) {
  auto text = [&](double m) { return length_text(job.units, m); };
  for (const MomentSpec& moment : job.moments)
    for (const LampUse& use : moment.lamp_uses)
      if (use.position.given) check_lamp_place(job, room, "lamp " + *use.name, *use.position, use.position.at, diagnostics);
  for (const LampSpec& lamp : job.lamps) {
    const dvec3 at = *lamp.position;
    if (*lamp.kind == LampKind::strip) {
      check_lamp_place(job, room, fmt::format("an end of strip {}", *lamp.name), at, lamp.position.at, diagnostics);
      check_lamp_place(job, room, fmt::format("an end of strip {}", *lamp.name), *lamp.to, lamp.to.at, diagnostics);
      continue;
    }
    if (!check_lamp_place(job, room, "lamp " + *lamp.name, at, lamp.position.at, diagnostics)) continue;
    // a file's own opening is not known here
    if (!lamp.photometry->empty() && !lamp.size.given) continue;
    // A disc of radius r facing `aim` reaches r √(1 − (n·aim)²) towards a wall with normal n.
    const bool away = *lamp.kind == LampKind::wall && !lamp.aim.given;
    const dvec3 aim = away ? room.surfaces[room.nearest_wall(dvec2(at))].frame.n : *lamp.aim;
    const double aim_length = glm::length(aim), radius = 0.5 * *lamp.size;
    if (!(aim_length > 0)) continue;
    for (int i = 0; i < room.wall_count(); ++i) {
      const Surface& wall = room.surfaces[i];
      const double facing = glm::dot(wall.frame.n, aim) / aim_length;
      const double reach = radius * std::sqrt(std::max(0.0, 1 - facing * facing));
      const double clear = distance_to_segment(dvec2(at), room.plan[i], room.plan[(i + 1) % room.plan.size()]);
      if (clear >= reach - touch) continue;
      diagnostics.error(lamp.position.at, fmt::format("lamp {}, {} across, reaches {} into wall {}", *lamp.name, text(*lamp.size), text(reach - clear), wall.name),
                        fmt::format("at least {} from the wall", text(reach)), lamp.size.at, "its size is given here");
    }
  }
}

}  // namespace rakelight
