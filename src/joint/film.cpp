#include "joint/film.h"

#include <algorithm>
#include <cmath>

namespace rakelight {

HeightCurve chord_envelope(const HeightCurve& h, double reach) {
  // Of the chords that start at a and pass over x, the highest there is the steepest of those that end at x or
  // beyond: one sweep back from the farthest end finds it for every x.
  constexpr double rounding = 1e-13;  // m: a chord's own end must not count as filled
  HeightCurve e = h;
  int n = h.size(), span = static_cast<int>(std::floor(reach / h.step + 1e-6));
  std::vector<double> inverse(static_cast<std::size_t>(span) + 1, 0.0);
  for (int k = 1; k <= span; ++k) inverse[k] = 1.0 / k;
  for (int a = 0; a < n; ++a) {
    double steepest = -1e9;  // rise per sample
    for (int k = std::min(span, n - 1 - a); k > 0; --k) {
      steepest = std::max(steepest, (h.height[a + k] - h.height[a]) * inverse[k]);
      double v = h.height[a] + steepest * k;
      if (v <= e.height[a + k] + rounding) continue;
      e.height[a + k] = v;
      e.slope[a + k] = steepest / h.step;
    }
  }
  return e;
}

HeightCurve drawn_film(const HeightCurve& h, double reach, double thickness, double shrinkage) {
  HeightCurve out = chord_envelope(h, reach);
  for (int i = 0; i < h.size(); ++i) {
    double fill = out.height[i] - h.height[i];
    bool capped = fill > thickness;
    out.slope[i] = h.slope[i] + (capped ? 0 : (1 - shrinkage) * (out.slope[i] - h.slope[i]));
    out.height[i] = h.height[i] + (1 - shrinkage) * std::min(fill, thickness);
  }
  return out;
}

HeightCurve covering_coat(const HeightCurve& h, double reach, double thickness, double least, double shrinkage) {
  HeightCurve must_clear = h;  // over the wet face
  for (int i = 0; i < h.size(); ++i) {
    must_clear.height[i] += least - thickness;
    if (must_clear.height[i] <= 0) must_clear.height[i] = must_clear.slope[i] = 0;
  }
  HeightCurve out = chord_envelope(must_clear, reach);
  for (int i = 0; i < h.size(); ++i) {
    out.height[i] = shrinkage * h.height[i] + (1 - shrinkage) * out.height[i];
    out.slope[i] = shrinkage * h.slope[i] + (1 - shrinkage) * out.slope[i];
  }
  return out;
}

HeightCurve sanded(const HeightCurve& h, double block, double fraction) {
  HeightCurve out = h;
  int reach = std::max(1, static_cast<int>(std::lround(block / 2 / h.step)));
  int n = h.size();
  std::vector<double> sum(n, 0.0);  // running integral of the interpolant
  for (int i = 0; i + 1 < n; ++i)
    sum[i + 1] = sum[i] + h.step * (h.height[i] + h.height[i + 1]) / 2 + h.step * h.step * (h.slope[i] - h.slope[i + 1]) / 12;
  // beyond its ends the curve goes on level
  auto height = [&](int i) { return h.height[std::clamp(i, 0, n - 1)]; };
  auto integral = [&](int i) {
    if (i < 0) return h.step * i * h.height[0];
    if (i >= n) return sum[n - 1] + h.step * (i - n + 1) * h.height[n - 1];
    return sum[i];
  };
  double length = 2 * reach * h.step;
  for (int i = 0; i < n; ++i) {
    double mean = (integral(i + reach) - integral(i - reach)) / length;
    double mean_slope = (height(i + reach) - height(i - reach)) / length;
    double above = h.height[i] - mean;
    if (above <= 0) continue;
    out.height[i] -= fraction * above;
    out.slope[i] -= fraction * (h.slope[i] - mean_slope);
  }
  return out;
}

}  // namespace rakelight
