#include "joint/film.h"

#include <algorithm>
#include <cmath>

namespace rakelight {

HeightCurve chord_envelope(const HeightCurve& h, double reach) {
  // A chord no longer than the reach lies in some window of that length, and the chords of a window reach up to
  // its upper convex hull: the envelope is the highest of the hulls.
  HeightCurve e = h;
  int n = h.size(), span = static_cast<int>(std::floor(reach / h.step + 1e-6));
  std::vector<int> hull;
  for (int a = 0; a < n; ++a) {
    int end = std::min(a + span, n - 1);
    hull.clear();
    for (int i = a; i <= end; ++i) {
      while (hull.size() >= 2) {
        int p = hull[hull.size() - 2], q = hull.back();
        bool above = (h.height[q] - h.height[p]) * (i - p) > (h.height[i] - h.height[p]) * (q - p);
        if (above) break;
        hull.pop_back();
      }
      hull.push_back(i);
    }
    for (std::size_t k = 0; k + 1 < hull.size(); ++k) {
      int p = hull[k], q = hull[k + 1];
      double rise = (h.height[q] - h.height[p]) / (q - p);
      for (int i = p + 1; i < q; ++i) {
        double v = h.height[p] + rise * (i - p);
        if (v > e.height[i]) {
          e.height[i] = v;
          e.slope[i] = rise / h.step;
        }
      }
    }
    if (end == n - 1) break;  // later windows lie inside this one
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

HeightCurve sanded(const HeightCurve& h, double block, double fraction) {
  HeightCurve out = h;
  int reach = std::max(1, static_cast<int>(std::lround(block / 2 / h.step)));
  int n = h.size();
  std::vector<double> sum(n, 0.0);  // running integral of the interpolant
  for (int i = 0; i + 1 < n; ++i)
    sum[i + 1] = sum[i] + h.step * (h.height[i] + h.height[i + 1]) / 2 + h.step * h.step * (h.slope[i] - h.slope[i + 1]) / 12;
  auto held = [&](int i) { return std::clamp(i, 0, n - 1); };
  for (int i = 0; i < n; ++i) {
    int lo = held(i - reach), hi = held(i + reach);
    double length = 2 * reach * h.step;
    double mean = (sum[hi] - sum[lo]) / length, mean_slope = (h.height[hi] - h.height[lo]) / length;
    double above = h.height[i] - mean;
    if (above <= 0) continue;
    out.height[i] -= fraction * above;
    out.slope[i] -= fraction * (h.slope[i] - mean_slope);
  }
  return out;
}

}  // namespace rakelight
