#include "joint/curve.h"

#include <algorithm>
#include <cmath>

#include "kernel/relief.h"

namespace rakelight {
namespace {

kernel::HeightSlope at(const HeightCurve& c, double u) {
  double x = (u - c.first) / c.step;
  int last = c.size() - 1;
  if (!(x >= 0) || x > last || last < 1) return {0, 0};
  int i = std::min(static_cast<int>(x), last - 1);
  return kernel::hermite_height(c.height[i], c.slope[i], c.height[i + 1], c.slope[i + 1], c.step, x - i);
}

}  // namespace

HeightCurve::HeightCurve(double from, double to, double spacing) : first(from), step(spacing) {
  auto n = static_cast<std::size_t>(std::ceil((to - from) / spacing - 1e-6)) + 1;
  height.assign(n, 0.0);
  slope.assign(n, 0.0);
}

double HeightCurve::height_at(double u) const { return at(*this, u).height; }
double HeightCurve::slope_at(double u) const { return at(*this, u).slope; }

double HeightCurve::steepest() const {
  double s = 0;
  for (double v : slope) s = std::max(s, std::abs(v));
  return s;
}

double HeightCurve::area() const {
  double sum = 0;  // Euler–Maclaurin: the Hermite cubic integrates exactly to this
  for (int i = 0; i + 1 < size(); ++i)
    sum += step * (height[i] + height[i + 1]) / 2 + step * step * (slope[i] - slope[i + 1]) / 12;
  return sum;
}

void add(HeightCurve& h, const HeightCurve& other, double factor) {
  for (int i = 0; i < h.size(); ++i) {
    h.height[i] += factor * other.height[i];
    h.slope[i] += factor * other.slope[i];
  }
}

void add_ridge(HeightCurve& h, double at, double ridge, double width) {
  double sigma = width / (2 * std::sqrt(2 * std::log(2.0)));
  for (int i = 0; i < h.size(); ++i) {
    double x = (h.offset(i) - at) / sigma;
    if (std::abs(h.offset(i) - at) > 2 * width) continue;
    double g = ridge * std::exp(-x * x / 2);
    h.height[i] += g;
    h.slope[i] -= g * x / sigma;
  }
}

void add_plateau(HeightCurve& h, double from, double to, double rise, double edge) {
  edge = std::min(edge, (to - from) / 2);
  for (int i = 0; i < h.size(); ++i) {
    double u = h.offset(i);
    kernel::HeightSlope up = kernel::ease(u - from, edge), down = kernel::ease(to - u, edge);
    h.height[i] += rise * up.height * down.height;
    h.slope[i] += rise * (up.slope * down.height - up.height * down.slope);
  }
}

}  // namespace rakelight
