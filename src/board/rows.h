// Rows of sheets and where sheets end in them, for a direction, a start, a stagger and a length.
#pragma once
#include <vector>

#include "board/ground.h"

namespace rakelight {

/// A way of laying one face, all that a job file says of it.
struct Way {
  Run run = Run::horizontal;
  double length = 0;                  ///< of the sheets, m
  double first_row = 0;               ///< width of the first row, m; 0: a full sheet
  std::vector<double> first_sheets;   ///< how long the first sheet of each row is, m, again from the start; empty: running bond
  bool operator==(const Way&) const = default;
};

/// As the job has it: its requested run, its sheet and what it says of rows. `run`: the other direction takes the sheet alone.
Way way_as_asked(const Job& job, const Room& room, int surface);
Way way_as_asked(const Job& job, const Room& room, int surface, Run run);

/// What two factory edges make.
JointKind kind_of_edges(EdgeSpec edge);

/// Where rows of `width` begin and end, from box.lo.y to box.hi.y. Rows start anew after a break, with a full sheet; a remainder up
/// to filled_gap is no row.
std::vector<double> row_edges(const FaceGround& g, double width, double first_row);

/// Ends of the sheets in a row, its own ends included: the first sheet `first` long, then as long as `length` lets them
/// be, ends cut back to a place of `allowed` (ascending; empty: anywhere). Sheets end at breaks.
std::vector<double> row_ends(const FaceGround& g, Interval row, double first, double length, const std::vector<double>& allowed);

/// Running bond (lay_sheets): full sheets, or when `shifted` half a sheet or an offcut first.
std::vector<double> bond_ends(const FaceGround& g, Interval row, bool shifted, double length);

/// The sheets and joints of a way, fittings included, ids numbered (board.h, lay_sheets). Precondition: boarded.
Layout lay_way(const Job& job, const Room& room, int surface, const Way& way);

}  // namespace rakelight
