// Many sections on one sheet, to one scale, so that they can be compared by eye: a row a kind, a column a workmanship.
#include <algorithm>
#include <cmath>
#include <fmt/format.h>

#include "base/text.h"
#include "base/units.h"
#include "report/report.h"

namespace rakelight {
namespace {

constexpr double plate_width = 297, plate_side = 12, name_width = 38;  // mm
constexpr double plate_exaggeration = 50;
constexpr double widest = 0.620, deepest_on_plate = 0.0016;         // m
const Colour later_colour = "#b3261e";
const Colour fill_colour = "#e2c397";

std::vector<dvec2> outline(const Section& s, const std::vector<double>& h, dvec2 zero, double per_m, double foot) {
  std::vector<dvec2> out;
  for (std::size_t i = 0; i < h.size(); i = i + 3 < h.size() || i + 1 == h.size() ? i + 3 : h.size() - 1)
    out.push_back({zero.x + (s.first + s.step * static_cast<double>(i)) * per_m, std::min(zero.y - h[i] * per_m * plate_exaggeration, foot)});
  return out;
}

void cell(Drawing& d, const Section& s, const Section* later, dvec2 zero, double per_m, double foot) {
  auto filled = [&](const std::vector<double>& h, const Colour& colour) {
    std::vector<dvec2> area = outline(s, h, zero, per_m, foot);
    area.push_back({area.back().x, foot});
    area.push_back({area.front().x, foot});
    d.polygon(area, colour);
  };
  filled(s.height, fill_colour);
  std::vector<double> board = s.bare;
  for (std::size_t i = 0; i < board.size(); ++i) board[i] = std::min(board[i], s.height[i]);
  filled(board, board_colour);
  d.curve(outline(s, s.bare, zero, per_m, foot), face_colour, 0.15);
  d.curve(outline(s, s.height, zero, per_m, foot), "#000000", 0.35);
  std::vector<dvec2> risen;  // the stretch that has moved
  for (std::size_t i = 0; later && i < s.height.size(); ++i)
    if (later->height[i] != s.height[i])
      risen.push_back({zero.x + (s.first + s.step * static_cast<double>(i)) * per_m, zero.y - later->height[i] * per_m * plate_exaggeration});
  if (!risen.empty()) d.curve(risen, later_colour, 0.3, {1.2, 0.6});
  double steepest = 0;
  for (double v : s.slope) steepest = std::max(steepest, std::abs(v));
  if (later) d.say({zero.x + std::max(s.last(), s.right) * per_m + 1.5, zero.y - 6.4}, fmt::format("{} mm", fixed_text(later->crown * mm_per_m, 2)), 2.2, Words::Anchor::start, false, later_colour);
  d.say({zero.x + std::max(s.last(), s.right) * per_m + 1.5, zero.y - 3.4}, fmt::format("{} mm", fixed_text(s.crown * mm_per_m, 2)), 2.2);
  d.say({zero.x + std::max(s.last(), s.right) * per_m + 1.5, zero.y - 0.4}, fmt::format("{} mm/m", fixed_text(steepest * 1e3, 0)), 2.2, Words::Anchor::start, false, face_colour);
}

}  // namespace

Drawing section_plate(const std::string& heading, const std::vector<std::string>& columns, const std::vector<PlateRow>& rows) {
  Drawing d;
  d.width = plate_width;
  const double column = (plate_width - 2 * plate_side - name_width) / static_cast<double>(std::max<std::size_t>(1, columns.size()));
  const double per_m = (column - 14) / widest;  // the figures stand beside each section
  d.say({plate_side, 13}, heading, 5, Words::Anchor::start, true);
  d.say({plate_side, 19}, fmt::format("Widths 1 : {}; heights drawn {} times as tall as widths. Beside each section its crown (a hollow is negative) and its steepest slope.",
                                fixed_text(mm_per_m / per_m, 1), number_text(plate_exaggeration)), 2.8);
  const bool dated = std::any_of(rows.begin(), rows.end(), [](const PlateRow& r) { return !r.later.empty(); });
  if (dated) {
    d.line({plate_side, 22.7}, {plate_side + 9, 22.7}, later_colour, 0.3, {1.2, 0.6});
    d.say({plate_side + 11, 23.7}, "after the first heating season, should it peak or pop as usual: a risk, not a promise (corners and beads open rather than rise)", 2.8);
  }
  for (std::size_t c = 0; c < columns.size(); ++c)
    d.say({plate_side + name_width + (static_cast<double>(c) + 0.5) * column - 7, dated ? 31.0 : 27.0}, columns[c], 3.4, Words::Anchor::middle, true);
  double top = dated ? 34 : 30;
  for (const PlateRow& row : rows) {
    double high = 0, low = 0;
    for (const Section& s : row.sections) {
      for (double h : s.height) high = std::max(high, h), low = std::min(low, h);
      for (double h : s.bare) high = std::max(high, h), low = std::min(low, h);
    }
    for (const Section& s : row.later)
      for (double h : s.height) high = std::max(high, h);
    low = std::max(low, -deepest_on_plate);
    const double zero = top + 3 + std::max(high * per_m * plate_exaggeration, row.later.empty() ? 4.0 : 6.4), foot = zero - low * per_m * plate_exaggeration + 2.5;
    d.say({plate_side, zero - 0.5}, row.name, 3.2);
    for (std::size_t c = 0; c < row.sections.size(); ++c) {
      const Section& s = row.sections[c];
      const double middle = plate_side + name_width + (static_cast<double>(c) + 0.5) * column - 7;
      const double centre = 0.5 * (s.first + s.last());
      cell(d, s, c < row.later.size() ? &row.later[c] : nullptr, {middle - centre * per_m, zero}, per_m, foot);
    }
    d.line({plate_side, foot + 2}, {plate_width - plate_side, foot + 2}, "#e4e2dd", 0.2);
    top = foot + 2;
  }
  d.height = top + 8;
  return d;
}

}  // namespace rakelight
