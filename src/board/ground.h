// What there is to cover on one face, in coordinates u along the sheets' length and v across the rows.
#pragma once
#include <vector>

#include "board/board.h"
#include "board/intervals.h"

namespace rakelight {

inline constexpr double snap = 1e-7;        ///< m: edges nearer than this are one edge
inline constexpr double shortest = 1e-6;    ///< m: nothing shorter is a joint or a piece
inline constexpr double filled_gap = 0.010; ///< m at a corner that is filled instead of boarded (common practice)

struct FaceGround {
  std::vector<dvec2> outline;
  std::vector<Rect> openings;
  Rect box;
  std::vector<double> breaks_u, breaks_v;   ///< control and movement joints: at these u, at these v; ascending, inside the box
};

/// (x, y) to (u, v) and back: it is its own inverse.
inline dvec2 turned(dvec2 p, Run run) { return run == Run::horizontal ? p : dvec2{p.y, p.x}; }
inline Rect turned(Rect r, Run run) { return {turned(r.lo, run), turned(r.hi, run)}; }

FaceGround ground_of(const Job& job, const Room& room, int surface, Run run);
FaceGround transposed(const FaceGround& g);

/// The outline's inside along the line v, as seen just above it (side > 0) or just below.
Intervals inside_at(const FaceGround& g, double v, int side);
/// Where there is board just above or just below the line v.
Intervals board_at(const FaceGround& g, double v, int side);
/// Where board meets board across the line v.
inline Intervals meeting_at(const FaceGround& g, double v) { return intersection(board_at(g, v, -1), board_at(g, v, +1)); }
/// The outline's extent in u between two v.
Interval extent(const FaceGround& g, double bottom, double top);

}  // namespace rakelight
