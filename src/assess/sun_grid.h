// A grid over the sun's daily courses, and tables on it.
#pragma once
#include <algorithm>
#include <array>
#include <cmath>
#include <vector>

#include "base/units.h"
#include "sky/sky.h"

namespace rakelight {

/// Nodes over hour angle (all round) and declination (what the year has). Interpolation is by Lagrange's polynomials
/// through four nodes each way, through three in declination where there are no more.
class SunGrid {
 public:
  struct Stencil { std::array<int, 16> node{}; std::array<double, 16> weight{}; int count = 0; };

  SunGrid(int hours, int declinations) : hours_(hours), declinations_(declinations) {}
  int count() const { return hours_ * declinations_; }
  int hours() const { return hours_; }
  /// The node of a closer grid that stands where this one's does. Its steps must part this one's evenly.
  int same_in(const SunGrid& closer, int node) const {
    return closer.node(node % hours_ * (closer.hours_ / hours_), node / hours_ * ((closer.declinations_ - 1) / (declinations_ - 1)));
  }
  /// The node with the sun at the same declination as long before noon as at this one after it: at the same altitude.
  int mirrored(int node) const { return this->node(hours_ - node % hours_, node / hours_); }
  /// Columns from hour −12 on, as a fraction; past a whole turn it goes on.
  double column_of(double hour_angle) const { return (hour_angle + pi) / step(); }
  double hour_of(double column) const { return column * step() - pi; }
  DaySun::Place place(int node) const {
    return {(node % hours_) * step() - pi, -most + (node / hours_) * rise()};
  }
  /// Up to four nodes in a line, and where among them, in steps from the first.
  struct Line { std::array<int, 4> at{}; int taps = 4; double x = 0; };
  Line hours_about(double column) const {
    Line line;
    const int first = static_cast<int>(std::floor(column)) - 1;
    for (int i = 0; i < 4; ++i) line.at[static_cast<std::size_t>(i)] = first + i;
    line.x = column - first;
    return line;
  }
  Line declinations_about(double declination) const {
    Line line;
    const double d = (declination + most) / rise();
    line.taps = declinations_ < 4 ? declinations_ : 4;
    const int first = std::min(std::max(static_cast<int>(std::floor(d)) - 1, 0), declinations_ - line.taps);
    for (int i = 0; i < line.taps; ++i) line.at[static_cast<std::size_t>(i)] = first + i;
    line.x = d - first;
    return line;
  }
  int node(int column, int row) const { return row * hours_ + (column % hours_ + hours_) % hours_; }
  static std::array<double, 4> lagrange(const Line& line) {
    std::array<double, 4> w{};
    for (int i = 0; i < line.taps; ++i) {
      double v = 1;
      for (int j = 0; j < line.taps; ++j)
        if (j != i) v *= (line.x - j) / (i - j);
      w[static_cast<std::size_t>(i)] = v;
    }
    return w;
  }
  Stencil stencil(DaySun::Place sun) const {
    const Line h = hours_about(column_of(sun.hour_angle)), d = declinations_about(sun.declination);
    const std::array<double, 4> wh = lagrange(h), wd = lagrange(d);
    Stencil s;
    for (std::size_t j = 0; j < static_cast<std::size_t>(d.taps); ++j)
      for (std::size_t i = 0; i < 4; ++i) {
        s.node[static_cast<std::size_t>(s.count)] = node(h.at[i], d.at[j]);
        s.weight[static_cast<std::size_t>(s.count++)] = wh[i] * wd[j];
      }
    return s;
  }
  /// Nodes that some place of the sun from `least` altitude up is interpolated from.
  std::vector<int> needed(double latitude, double least) const {
    std::vector<bool> wanted(static_cast<std::size_t>(count()));
    for (int j = 0; j <= 8 * (declinations_ - 1); ++j)
      for (int i = 0; i < 4 * hours_; ++i) {
        const DaySun::Place p{0.25 * i * step() - pi, -most + 0.125 * j * rise()};
        if (DaySun::position(latitude, p).altitude < least) continue;
        const Stencil s = stencil(p);
        for (int k = 0; k < s.count; ++k) wanted[static_cast<std::size_t>(s.node[static_cast<std::size_t>(k)])] = true;
      }
    std::vector<int> nodes;
    for (int n = 0; n < count(); ++n)
      if (wanted[static_cast<std::size_t>(n)]) nodes.push_back(n);
    return nodes;
  }

 private:
  static constexpr double most = 23.45 * rad_per_deg;
  double step() const { return 2 * pi / hours_; }
  double rise() const { return 2 * most / (declinations_ - 1); }
  int hours_, declinations_;
};

/// Numbers that come in groups of `width`, of which number `at` is never negative. Where the polynomial goes beyond a half or three
/// halves of what the two nodes about the place have there, the group is taken straight between those two: a patch of sunlight
/// that comes near a joint's station changes its light manyfold from node to node. Width 0: numbers of any kind.
/// `apart`: first number 0 of every group, then number 1 of every group, and so on; else group by group.
struct Grouped { std::size_t width = 0, at = 0; bool apart = false; };

/// Between rows of `count` numbers, whole groups.
void blend(const std::array<const float*, 4>& row, const SunGrid::Line& line, std::size_t count, Grouped grouped, float* out);

/// `width` numbers at every node.
class SunTable {
 public:
  SunTable() = default;
  SunTable(const SunGrid& grid, int width, Grouped grouped = {}) : width_(width), grouped_(grouped), value_(static_cast<std::size_t>(grid.count()) * width, 0.0f) {}
  int width() const { return width_; }
  const float* at(int node) const { return value_.data() + static_cast<std::size_t>(node) * width_; }
  float* at(int node) { return value_.data() + static_cast<std::size_t>(node) * width_; }
  /// Numbers from..from+count of the interpolated row, grouped or not.
  void mix(const SunGrid::Stencil& s, int from, int count, double* out) const {
    for (int k = 0; k < count; ++k) out[k] = 0;
    for (int i = 0; i < s.count; ++i) {
      const float* row = value_.data() + static_cast<std::size_t>(s.node[static_cast<std::size_t>(i)]) * width_ + from;
      const double w = s.weight[static_cast<std::size_t>(i)];
      for (int k = 0; k < count; ++k) out[k] += w * row[k];
    }
  }
  /// Those of a column of hours at a declination.
  void column(const SunGrid& grid, int hours, double declination, int from, int count, float* out) const {
    const SunGrid::Line line = grid.declinations_about(declination);
    std::array<const float*, 4> row{};
    for (std::size_t i = 0; i < static_cast<std::size_t>(line.taps); ++i) row[i] = at(grid.node(hours, line.at[i])) + from;
    blend(row, line, static_cast<std::size_t>(count), grouped_, out);
  }
  Grouped grouped() const { return grouped_; }
  /// First over declination, then over hours, as groups ask for it.
  void find(const SunGrid& grid, DaySun::Place sun, int from, int count, float* out) const {
    const SunGrid::Line line = grid.hours_about(grid.column_of(sun.hour_angle));
    std::vector<float> columns(4 * static_cast<std::size_t>(count));
    std::array<const float*, 4> row{};
    for (std::size_t i = 0; i < 4; ++i) {
      float* to = columns.data() + i * static_cast<std::size_t>(count);
      column(grid, line.at[i], sun.declination, from, count, to);
      row[i] = to;
    }
    blend(row, line, static_cast<std::size_t>(count), grouped_, out);
  }

 private:
  int width_ = 0;
  Grouped grouped_;
  std::vector<float> value_;
};

}  // namespace rakelight
