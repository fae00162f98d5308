#include "joint/measured.h"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace rakelight {
namespace {

constexpr double block = 0.040;       // m: what is narrower stands above the smooth line under a sanding block
constexpr double usual_ridge = 0.007; // m, full width at half height: 2-10 mm
constexpr double edge_run = 0.007;    // m: over which a tape's edge falls, inside the tape
constexpr double base_joints = 4;     // that the spread of the base counts for

void pool(Spread& s, const std::vector<double>& measured) {
  if (measured.empty()) return;
  const double n = static_cast<double>(measured.size());
  const double mean = std::accumulate(measured.begin(), measured.end(), 0.0) / n;
  double squares = base_joints * s.sd * s.sd;
  for (const double x : measured) squares += (x - mean) * (x - mean);
  s = {mean, std::sqrt(squares / (base_joints + n - 1))};
}

/// How far the edge about u stands out: the fall across it less the mean of the falls either side of it.
double edge_at(const HeightCurve& h, double u) {
  const double out = u < 0 ? -1 : 1;
  const auto at = [&](double steps) { return h.height_at(u + out * steps * edge_run); };
  return (at(-0.5) - at(0.5)) - 0.5 * ((at(-1.5) - at(-0.5)) + (at(0.5) - at(1.5)));
}

}  // namespace

SectionFigures read_figures(const HeightCurve& face, double tape_half) {
  SectionFigures f;
  const int n = face.size();
  if (n < 2) return f;
  HeightCurve h = face;
  const double rise = (face.height.back() - face.height.front()) / (n - 1);
  for (int i = 0; i < n; ++i) h.height[i] -= face.height.front() + rise * i;
  const auto [lo, hi] = std::minmax_element(h.height.begin(), h.height.end());
  f.crown = *hi >= -*lo ? *hi : *lo;
  const double edge = tape_half - 0.5 * edge_run;
  f.tape_edge = std::max(0.0, 0.5 * (edge_at(h, edge) + edge_at(h, -edge)));
  // a Gaussian ridge of width w has the area 1.064 w times its height, which the block's mean takes off again
  const double kept = 1 - 1.0645 * usual_ridge / block;
  const int half = static_cast<int>(std::lround(0.5 * block / h.step));
  for (int i = half; i + half < n; ++i) {
    if (std::abs(h.offset(i)) < tape_half + edge_run) continue;
    const double mean = std::accumulate(h.height.begin() + (i - half), h.height.begin() + (i + half + 1), 0.0) / (2 * half + 1);
    f.lap_ridge = std::max(f.lap_ridge, (h.height[i] - mean) / kept);
  }
  return f;
}

MeasuredSpec figures_of(const std::vector<MeasuredSection>& sections) {
  MeasuredSpec m;
  for (const MeasuredSection& s : sections) {
    const SectionFigures f = read_figures(s.face);
    (is_end(s.kind) ? m.butt_crown : m.recessed_crown).value.push_back(f.crown);
    m.lap_ridge.value.push_back(f.lap_ridge);
    m.tape_edge.value.push_back(f.tape_edge);
  }
  return m;
}

Workmanship learnt(const Workmanship& base, const MeasuredSpec& measured) {
  Workmanship w = base;
  w.name = "measured, else " + base.name;
  pool(w.recessed_crown, *measured.recessed_crown);
  pool(w.butt_crown, *measured.butt_crown);
  pool(w.lap_ridge, *measured.lap_ridge);
  pool(w.step, *measured.step);
  pool(w.tape_edge, *measured.tape_edge);
  return w;
}

}  // namespace rakelight
