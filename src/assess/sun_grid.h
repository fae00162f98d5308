// A grid over the sun's daily courses, and tables on it.
#pragma once
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
  DaySun::Place place(int node) const {
    return {(node % hours_) * step() - pi, -most + (node / hours_) * rise()};
  }
  Stencil stencil(DaySun::Place sun) const {
    const double h = (sun.hour_angle + pi) / step(), d = (sun.declination + most) / rise();
    const int h0 = static_cast<int>(std::floor(h)) - 1, taps = declinations_ < 4 ? declinations_ : 4;
    const int d0 = std::min(std::max(static_cast<int>(std::floor(d)) - 1, 0), declinations_ - taps);
    std::array<double, 4> wh{}, wd{};
    lagrange(h - h0, 4, wh);
    lagrange(d - d0, taps, wd);
    Stencil s;
    for (int j = 0; j < taps; ++j)
      for (int i = 0; i < 4; ++i) {
        s.node[static_cast<std::size_t>(s.count)] = (d0 + j) * hours_ + ((h0 + i) % hours_ + hours_) % hours_;
        s.weight[static_cast<std::size_t>(s.count++)] = wh[static_cast<std::size_t>(i)] * wd[static_cast<std::size_t>(j)];
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
  static void lagrange(double x, int taps, std::array<double, 4>& w) {
    for (int i = 0; i < taps; ++i) {
      double v = 1;
      for (int j = 0; j < taps; ++j)
        if (j != i) v *= (x - j) / (i - j);
      w[static_cast<std::size_t>(i)] = v;
    }
  }
  int hours_, declinations_;
};

/// `width` numbers at every node.
class SunTable {
 public:
  SunTable() = default;
  SunTable(const SunGrid& grid, int width) : width_(width), value_(static_cast<std::size_t>(grid.count()) * width, 0.0f) {}
  int width() const { return width_; }
  const float* at(int node) const { return value_.data() + static_cast<std::size_t>(node) * width_; }
  float* at(int node) { return value_.data() + static_cast<std::size_t>(node) * width_; }
  /// Numbers from..from+count of the interpolated row.
  void mix(const SunGrid::Stencil& s, int from, int count, double* out) const {
    for (int k = 0; k < count; ++k) out[k] = 0;
    for (int i = 0; i < s.count; ++i) {
      const float* row = value_.data() + static_cast<std::size_t>(s.node[static_cast<std::size_t>(i)]) * width_ + from;
      const double w = s.weight[static_cast<std::size_t>(i)];
      for (int k = 0; k < count; ++k) out[k] += w * row[k];
    }
  }

 private:
  int width_ = 0;
  std::vector<float> value_;
};

}  // namespace rakelight
