#include "report/words.h"

#include "report/in_units.h"
#include "report/report.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace rakelight {
namespace {

std::size_t shown_width(std::string_view s) {
  return static_cast<std::size_t>(std::count_if(s.begin(), s.end(), [](char c) { return (static_cast<unsigned char>(c) & 0xC0u) != 0x80u; }));
}

}  // namespace

std::string two_digits(double v) {
  if (!std::isfinite(v)) return "–";
  if (v >= 9.95) return fmt::format("{:.0f}", v);
  return fmt::format("{:.1f}", v);
}

std::string band_text(const Judged& j) { return two_digits(j.low) + "–" + two_digits(j.high); }

std::string stage_caution(PaintStage stage) {
  return std::string(stage == PaintStage::bare ? "BARE, BEFORE PAINT" : "SEALED, BEFORE PAINT") +
         ": paper and compound differ in colour; this is no picture of the finished work.";
}

std::string raking_word(double ratio) {
  if (!std::isfinite(ratio)) return "no light";
  if (ratio < 1) return "light";
  if (ratio < 2.5) return "medium";
  return ratio < 6 ? "hard" : "severe";
}

std::string table(std::vector<std::vector<std::string>> rows, const std::string& indent, bool colour, Units units) {
  for (auto& row : rows)
    for (std::string& cell : row) cell = in_units(units, cell);
  std::vector<std::size_t> widths;
  for (const auto& row : rows)
    for (std::size_t i = 0; i < row.size(); ++i) {
      if (i >= widths.size()) widths.push_back(0);
      widths[i] = std::max(widths[i], shown_width(row[i]));
    }
  std::string out;
  for (std::size_t r = 0; r < rows.size(); ++r) {
    std::string line = indent;
    for (std::size_t i = 0; i < rows[r].size(); ++i) {
      line += rows[r][i];
      if (i + 1 < rows[r].size()) line += std::string(widths[i] - shown_width(rows[r][i]) + 2, ' ');
    }
    if (r == 0 && colour) line = "\033[1m" + line + "\033[0m";
    out += line + "\n";
  }
  return out;
}

}  // namespace rakelight
