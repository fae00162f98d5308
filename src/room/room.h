// The room as faces with frames, openings and reveals. Plan coordinates: x right, y up on the drawing,
// z up from the floor; metres.
#pragma once
#include <optional>
#include <string>
#include <vector>

#include "base/diagnostics.h"
#include "base/vec.h"
#include "job/job.h"

namespace rakelight {

/// Three vectors of a face; nobody computes one from the other two (the ceiling's frame is left-handed).
/// Walls: origin bottom left seen from inside, x right, y up, n into the room. Ceiling: origin plan
/// [0,0] at ceiling height, x and y as on plan, n down. Floor: origin plan [0,0], n up.
struct Frame {
  dvec3 origin{0}, x{1, 0, 0}, y{0, 1, 0}, n{0, 0, 1};
  dvec3 world_from_surface(dvec2 p, double h = 0) const { return origin + p.x * x + p.y * y + h * n; }
  dvec2 surface_from_world(dvec3 w) const { return {glm::dot(w - origin, x), glm::dot(w - origin, y)}; }
  double height_of(dvec3 w) const { return glm::dot(w - origin, n); }
  /// A direction's components (along x, along y, along n).
  dvec3 surface_direction(dvec3 w) const { return {glm::dot(w, x), glm::dot(w, y), glm::dot(w, n)}; }
  dvec3 world_direction(dvec3 s) const { return s.x * x + s.y * y + s.z * n; }
};

struct Rect {
  dvec2 lo{0}, hi{0};
  double width() const { return hi.x - lo.x; }
  double height() const { return hi.y - lo.y; }
  bool contains(dvec2 p) const { return p.x >= lo.x && p.x <= hi.x && p.y >= lo.y && p.y <= hi.y; }
};

/// What stands out from the house round a window, in its wall's frame; lengths from the glass's plane outwards, m; 0: none.
struct WindowShades {
  double eaves = 0;            ///< a level slab over it (eaves, a balcony)
  double eaves_y = 0;          ///< its underside
  double eaves_lo = 0, eaves_hi = 0;  ///< its ends
  double left = 0, left_x = 0, right = 0, right_x = 0;  ///< upright fins without end, and their sides towards the window
  double reflectance = 0.5;    ///< of all of them
  bool any() const { return eaves > 0 || left > 0 || right > 0; }
};

/// A sheer or a blind at the glass: shares of light that pass straight, that pass scattered, that are thrown back.
struct Cover {
  double direct = 1, scatter = 0, reflectance = 0;
  bool there() const { return direct < 1; }
};

struct Window {
  std::string name;
  int surface = 0;             ///< its wall, or the ceiling (a roof window)
  Rect opening;                ///< hole in the wall or ceiling, in its frame
  double reveal = 0;           ///< depth from the wall's face to the glass plane, outwards (−n), m
  double reveal_reflectance = 0.7;
  double frame = 0;            ///< width of the frame round the glass, m
  Rect glass() const { return {opening.lo + frame, opening.hi - frame}; }  ///< in the glass plane, wall's x, y
  Glass glazing = Glass::double_pane;
  double transmittance = 0;    ///< at normal incidence when glazing is Glass::transmittance
  WindowShades shades;
  Cover cover;
  Span at;
};

struct Door {
  int surface = 0;
  Rect opening;                ///< a flush leaf in the wall's face
  double reflectance = 0.5;
  Span at;
};

struct Surface {
  enum class Kind { wall, ceiling, floor };
  std::string name;
  Kind kind = Kind::wall;
  Frame frame;
  std::vector<dvec2> outline;  ///< in the surface's frame; a wall's is [0,0]–[length,height]
  Rect box;                    ///< bounding box of the outline
  double reflectance = 0.5;
  int spec = -1;               ///< index into Job::surfaces, -1 when nothing is boarded here
  bool contains(dvec2 p) const;  ///< inside the outline (openings not cut out)
};

struct Room {
  std::vector<dvec2> plan;     ///< clockwise seen from above
  double height = 0;
  std::vector<Surface> surfaces;  ///< walls in order (wall i from corner i to i+1), then ceiling, then floor
  std::vector<Window> windows;
  std::vector<Door> doors;
  bool convex = true;
  double tolerance = 1e-9;     ///< m within which a line touches a wall: 1e-9 of the plan's extent

  int wall_count() const { return static_cast<int>(plan.size()); }
  int ceiling() const { return wall_count(); }
  bool in_roof(const Window& window) const { return window.surface == ceiling(); }
  int floor() const { return wall_count() + 1; }
  /// Index of a surface by name, -1 when there is none.
  int find(const std::string& name) const;
  /// Whether the straight segment between two points inside (or on the faces of) the room stays inside it.
  /// The room is a prism, so this is decided in plan. Touching a corner counts as seen. In a convex room
  /// the answer is always yes.
  bool sees(dvec3 a, dvec3 b) const;
  /// Inside the plan or on a wall's face.
  bool contains(dvec2 plan_point) const;
  /// The wall nearest to a plan point.
  int nearest_wall(dvec2 plan_point) const;
  /// A plan point well inside: the centroid, or in a non-convex room the point farthest from every wall.
  dvec2 middle() const;
};

/// Reports geometry that cannot be (self-crossing outline, corners walked the wrong way, openings past the
/// wall or into each other, lamps outside, too small a height …), naming both places where two conflict.
/// All that can still be found is reported. Openings may touch corners, floor, ceiling and each other. Rooms
/// from 1.5 m to 20 m high and from 0.5 m to 200 m across are taken; anything else is a slip of units.
std::optional<Room> make_room(const Job& job, Diagnostics& diagnostics);

/// Where somebody stands. `only_surface` ≥ 0: judges only that surface (the inspection position).
struct Viewer {
  std::string name;
  dvec3 eye{0};
  dvec3 target{0};             ///< the middle of the picture; when judging, the eye turns to each joint
  int only_surface = -1;
};

/// The job's viewers, or the standing set: "inspection" (2 m square-on to each boarded surface, as far as
/// the room allows: the rule of AS/NZS 2311:2009 and NHBC 2020, as quoted, is 1.5 to 2 m; one viewer per
/// surface), "doorway" (0.3 m inside the first door, if there is one), "along NAME" (for each boarded wall:
/// 0.3 m from its end, 0.4 m off it, looking along), "seated" (eye 1.2 m in the middle of the room). Standing
/// eyes are at 1.6 m. Along a wall the end is taken from which the other end is seen and, of two such, the
/// one farther from the nearest window, so that one looks towards the light. Eyes outside the room are
/// reported.
std::vector<Viewer> make_viewers(const Job& job, const Room& room, Diagnostics& diagnostics);

}  // namespace rakelight
