// A grid over the sun's daily courses, and tables on it.
#pragma once
#include <algorithm>
#include <array>
#include <cmath>
#include <vector>

#include <Eigen/Core>

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
inline void blend(const std::array<const float*, 4>& row, const SunGrid::Line& line, std::size_t count, Grouped grouped, float* out) {
  const std::array<double, 4> weight = SunGrid::lagrange(line);
  const auto w = [&](std::size_t i) { return static_cast<float>(weight[i]); };
  using Row = Eigen::Map<const Eigen::ArrayXf>;
  const Eigen::Index n = static_cast<Eigen::Index>(count);
  Eigen::Map<Eigen::ArrayXf> sum(out, n);
  if (line.taps == 4) sum = w(0) * Row(row[0], n) + w(1) * Row(row[1], n) + w(2) * Row(row[2], n) + w(3) * Row(row[3], n);
  else {
    sum = w(0) * Row(row[0], n);
    for (std::size_t i = 1; i < static_cast<std::size_t>(line.taps); ++i) sum += w(i) * Row(row[i], n);
  }
  if (grouped.width == 0) return;
  const std::size_t inner = static_cast<std::size_t>(std::clamp(static_cast<int>(line.x), 0, line.taps - 2));
  const float t = static_cast<float>(line.x - static_cast<double>(inner));
  const float *a = row[inner], *b = row[inner + 1];
  const std::size_t groups = count / grouped.width, next = grouped.apart ? 1 : grouped.width, beside = grouped.apart ? groups : 1;
  const std::size_t first = grouped.at * beside;
  for (std::size_t g = 0; g < groups; ++g) {
    const std::size_t k = g * next;
    const float found = out[k + first], from = a[k + first], to = b[k + first];
    if (found >= 0.5f * std::min(from, to) && found <= 1.5f * std::max(from, to)) continue;
    for (std::size_t i = 0; i < grouped.width; ++i) out[k + i * beside] = (1 - t) * a[k + i * beside] + t * b[k + i * beside];
  }
}

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
