// Sheets on surfaces, and the lines where they meet.
#pragma once
#include <string>
#include <vector>

#include "base/vec.h"
#include "room/room.h"

namespace rakelight {

/// Which way the long edges lie, in the surface's frame: horizontal = along x, upright = along y.
enum class Run { horizontal, upright };

/// Text for people: walls "horizontal" | "upright"; ceilings "towards WALL".
std::string run_text(const Room& room, int surface, Run run);

/// The run that the job asks for; RunSpec::automatic gives horizontal on walls and, on ceilings, along the
/// longer side (common practice), until advice chooses.
Run requested_run(const Job& job, const Room& room, int surface);

/// One sheet as hung: its outline before openings are cut, and the pieces left after.
struct Sheet {
  int surface = 0;
  Rect outline;
  std::vector<Rect> pieces;    ///< what is left outside openings (rectangles; on a ceiling that is no
                               ///< rectangle the pieces are clipped to the outline's box rows)
  bool full() const;           ///< nothing cut away
};

enum class JointKind { recessed, butt };

/// A straight joint between sheets. `from` → `to` runs left to right or bottom to top.
struct JointLine {
  std::string id;              ///< surface/kind+number, numbered left to right, bottom to top: "long/B1", "long/R2"
  int surface = 0;
  JointKind kind = JointKind::recessed;
  dvec2 from{0}, to{0};        ///< surface frame, m
  double room_left = 0, room_right = 0;  ///< clear distance on the left and right of from→to to the next parallel
                               ///< joint, opening, corner or edge: no feather can reach further
  double length() const { return glm::length(to - from); }
  dvec2 along() const { return (to - from) / length(); }
  dvec2 across() const { dvec2 t = along(); return {t.y, -t.x}; }  ///< unit, to the right of from→to
};

struct Layout {
  Run run = Run::horizontal;
  std::vector<Sheet> sheets;
  std::vector<JointLine> joints;
};

/// Running bond on one surface: rows from the floor (upright: from the left), full sheets first, each next row
/// shifted by half a sheet (butts in neighbouring rows at least 400 mm apart, DIN 18181, from memory), openings
/// and the outline cut out, joints only where two pieces meet. The offcut row lies last.
Layout lay_sheets(const Job& job, const Room& room, int surface, Run run);

/// The layout of every boarded surface in its requested run; an entry per surface of the room, empty where bare.
/// [[joint]] entries that match no joint are reported with the nearest id.
std::vector<Layout> lay_all(const Job& job, const Room& room, Diagnostics& diagnostics);

}  // namespace rakelight
