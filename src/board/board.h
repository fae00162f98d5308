// Sheets on surfaces, and the lines where they meet.
#pragma once
#include <optional>
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
  Rect outline;                ///< after ripping and cutting to length
  std::vector<std::vector<dvec2>> parts;  ///< exactly what is left inside the surface and outside openings, as
                                          ///< disjoint trapezoids with their corners in walking order
  std::vector<Rect> pieces;    ///< the bounding rectangles of the parts, one each: the same thing where every
                               ///< edge is upright or level
  double area() const;         ///< of the parts, m²
  bool full() const;           ///< nothing cut away
};

/// What meets at a line, or what is filled there. Long edges of sheets: recessed to cut_to_cut; ends of sheets: butt
/// (fixed to framing) and backed_butt (between framing members, pulled in against a board behind); corners of faces:
/// internal_corner and square_set (wall to ceiling) are taped, external_corner, bead (round a window's opening) and
/// shadow_line (against the ceiling) have a bead; fixings: the heads of screws or nails along one framing member.
enum class JointKind {
  recessed, half_round, square, chamfered, cut_to_recessed, cut_to_cut, butt, backed_butt,
  internal_corner, square_set, external_corner, bead, shadow_line, fixings
};
/// In the words of the trade: "cut-to-recessed", "backed butt".
std::string kind_text(JointKind kind);
std::optional<JointKind> kind_named(const std::string& text);
std::vector<std::string> kind_names();
/// The letter of its ids: R recessed, H half-round, S square, V chamfered, C cut, B butt, backed or not, I internal
/// corner, J junction with the ceiling, E external corner, W window bead, F fixings.
char kind_letter(JointKind kind);
inline bool is_end(JointKind kind) { return kind == JointKind::butt || kind == JointKind::backed_butt; }
inline bool is_long(JointKind kind) { return kind < JointKind::butt; }
/// Whether two sheets meet there.
inline bool joins_sheets(JointKind kind) { return kind < JointKind::internal_corner; }
/// Corners and beads are filled from the line to one side only, the right.
inline bool has_bead(JointKind kind) {
  return kind == JointKind::external_corner || kind == JointKind::bead || kind == JointKind::shadow_line;
}
inline bool is_one_sided(JointKind kind) { return has_bead(kind) || kind == JointKind::internal_corner || kind == JointKind::square_set; }
/// Whether both sides dip below the board's face at the joint over some width: what is filled there is a hollow.
inline bool is_recess(JointKind kind) {
  return kind == JointKind::recessed || kind == JointKind::half_round || kind == JointKind::backed_butt;
}
/// Whether the two faces may stand apart in height: tapered edges are worked to each other over their width.
inline bool has_step(JointKind kind) { return joins_sheets(kind) && kind != JointKind::recessed && kind != JointKind::half_round; }

/// A straight joint between sheets. `from` → `to` runs left to right or bottom to top.
struct JointLine {
  std::string id;              ///< surface/kind+number, numbered left to right, bottom to top: "long/B1", "long/R2"
  int surface = 0;
  JointKind kind = JointKind::recessed;
  bool cut_left = false;       ///< cut_to_recessed: the cut edge is the one on the left of from→to
  dvec2 from{0}, to{0};        ///< surface frame, m
  std::vector<double> spots;   ///< fixings filled one by one: where, along the line from its start, m; empty = a strip
  bool runs_on_from = false, runs_on_to = false;  ///< the end is covered by a skirting or a cornice: the film goes on under it
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

/// Running bond on one surface, openings and the outline cut out, joints only where two pieces meet.
/// - Rows lie from the floor up (upright: from the left), full sheets first; the ripped row lies last, its cut
///   edge in the corner, so that joints between rows are factory edge to factory edge, unless the job turns it
///   (ripped_edge = "joint"): then that joint is cut to factory edge.
/// - Within a row full sheets start at the left (upright: at the floor). Every second row starts with half a
///   sheet, or with the row's offcut where that saves a butt and the butts of neighbouring rows stay at least
///   400 mm apart (DIN 18181, from memory). A row that one sheet spans has no butt.
/// - A remainder of up to 10 mm is a gap to be filled at the corner, not a strip of board (common practice).
/// An opening that interrupts a joint leaves two joints with their own numbers.
/// Then what else is filled (corners, junctions, beads, fixings), where the job has it; joints are cut back to where
/// no cornice or skirting covers them.
/// Precondition: the surface is boarded (spec ≥ 0).
Layout lay_sheets(const Job& job, const Room& room, int surface, Run run);

/// The second part of lay_sheets: cuts joints back and adds lines of the kinds that join no sheets. Corners and beads run
/// so that the face they are filled out on lies to the right. Fixings stand along framing members (12 mm in from sheets'
/// edges, evenly between, left out where a joint's tape covers them).
void add_fittings(const Job& job, const Room& room, int surface, Layout& layout);

/// The layout of every boarded surface in its requested run; an entry per surface of the room, empty where bare.
/// A [[joint]]'s kind replaces what the edges say, within long edges and within ends; its id stays. Entries that match
/// no joint are reported with the nearest id.
std::vector<Layout> lay_all(const Job& job, const Room& room, Diagnostics& diagnostics);

}  // namespace rakelight
