// Stock sheets: what they weigh, who lifts them, whether they get in; cutting them, and what is left over.
#pragma once
#include <string>
#include <vector>

#include "board/board.h"

namespace rakelight {

/// What a team lifts, kg: two lift two thirds of their sum, three or more half of it (usual guideline for team lifts, from memory).
double team_lifts(int people, double each_kg);
/// The least team, up to eight; 0 when no such team may.
int people_for(double kg, double each_kg);

/// The longest straight thing, m, of no thickness that passes on its edge from a passage `a` wide into one `b` wide at right
/// angles: (a^⅔ + b^⅔)^{3/2}, the ladder round a corner of the calculus textbooks.
double longest_round(double a, double b);

/// Why a sheet does not get in, "" when it does: through the door on its edge, round the turn, into the lift's car (its width no
/// more than one side of the car, its length no more than the diagonal of the two others). Lengths in the job's unit.
std::string cannot_enter(const AccessSpec& access, double width, double length, Units units);

/// The lengths that a face's sheets come in, ascending, m; without `lengths` 2400, 2700, 3000 and 3600 mm and that of `sheet`.
std::vector<double> stock_lengths(const SurfaceSpec& spec);

/// One piece to be hung and where it is cut from.
struct Cut {
  int surface = 0, sheet = 0;        ///< index into the layout's sheets
  std::string mark;                  ///< "long 3": the face, and its number from the start of the first row
  dvec2 size{0};                     ///< across the rows, along them, m
  int stock = 0;                     ///< number of the stock sheet it comes from, from 1
  bool offcut = false;               ///< it is cut from what another piece left
  bool ripped = false, shortened = false, cut_out = false;  ///< narrower; shorter; with openings or slopes cut out
};
struct StockUse { double width = 0, length = 0; int count = 0; };
struct Cutting {
  std::vector<Cut> cuts;
  std::vector<StockUse> stock;       ///< by size, in order of first use
  double stock_area = 0, board_area = 0;  ///< m²
  int reused = 0;                    ///< pieces cut from offcuts
  /// Share of what was bought that is not hung.
  double waste() const { return stock_area > 0 ? 1 - board_area / stock_area : 0; }
};
/// A face to cut for: its layout and the sheet that it is laid with, m.
struct CuttingFace { int surface = 0; std::string name; const Layout* layout = nullptr; double width = 0, length = 0; };

/// Cuts the faces' sheets in order, the longest pieces of each face first, each from the smallest offcut that takes it, else from a new sheet. Full-width pieces
/// come from what is left of the length (both long edges are the factory's); ripped ones also from what is left of the width. What is cut
/// out at openings is not used again. A saw cut takes nothing.
Cutting cut_sheets(const std::vector<CuttingFace>& faces);

/// How many stock sheets pieces of these sizes take, cut in the same way.
int sheets_for(std::vector<dvec2> pieces, double width, double length);

}  // namespace rakelight
