#include "assess/angle.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "base/units.h"
#include "sight/sight.h"

namespace rakelight {
namespace {

// Averages of piecewise constant `values` over even cells of `step`; value i lies between edges i and i + 1.
std::vector<double> even_cells(const std::vector<double>& values, const std::vector<double>& edges, double step) {
  const double span = edges.back();
  std::vector<double> out(static_cast<std::size_t>(std::ceil(span / step)));
  std::size_t i = 0;
  for (std::size_t cell = 0; cell < out.size(); ++cell) {
    const double end = static_cast<double>(cell + 1) * step;
    double from = static_cast<double>(cell) * step, sum = 0;
    while (i < values.size()) {
      const double to = std::min(edges[i + 1], end);
      sum += (to - from) * values[i];
      from = to;
      if (edges[i + 1] > end) break;
      ++i;
    }
    out[cell] = sum / step;
  }
  return out;
}

}  // namespace

double angle_between(dvec3 a, dvec3 b, dvec3 eye) {
  return std::atan2(glm::length(glm::cross(a - eye, b - eye)), glm::dot(a - eye, b - eye));
}

AngularPattern angular_pattern(const ContrastProfile& profile, const JointLine& line, const Frame& frame, dvec3 eye,
                               double sample_deg) {
  AngularPattern pattern;
  pattern.degrees_per_sample = sample_deg;
  const std::size_t n = profile.offset.size();
  if (n == 0) return pattern;
  const double du = n > 1 ? (profile.offset.back() - profile.offset.front()) / static_cast<double>(n - 1) : 1e-3;
  const dvec2 middle = line.from + profile.station * line.along();
  const dvec3 t = frame.world_direction({line.along(), 0.0});
  std::vector<double> edges(n + 1, 0.0);
  for (std::size_t i = 0; i < n; ++i) {
    const dvec3 to_eye = eye - frame.world_from_surface(middle + profile.offset[i] * line.across());
    const double d = glm::length(to_eye);
    const dvec3 v = to_eye / d;
    const double along = glm::dot(t, v);
    const double scale = std::max(0.0, glm::dot(frame.n, v)) / (d * std::sqrt(std::max(1e-12, 1 - along * along)));
    edges[i + 1] = edges[i] + scale * du * deg_per_rad;
  }
  pattern.contrast = even_cells(profile.contrast, edges, sample_deg);
  for (std::size_t f = 0; f < pattern.change.size(); ++f)
    if (profile.change[f].size() == n) pattern.change[f] = even_cells(profile.change[f], edges, sample_deg);
  return pattern;
}

std::vector<Grain> grain_of(const Paint& paint, const ContrastProfile& profile, const JointLine& line, const Frame& frame, dvec3 eye) {
  constexpr double most_contrast = 0.5;
  std::vector<Grain> grain;
  const dvec3 to_eye = eye - frame.world_from_surface(line.from + profile.station * line.along());
  const double d = glm::length(to_eye), facing = glm::dot(frame.n, to_eye) / d, ratio = profile.across_ratio;
  if (!(facing > 0) || !std::isfinite(ratio) || ratio <= 0) return grain;
  const double seen = glm::dot(frame.world_direction({line.along(), 0.0}), to_eye) / d, slant = std::sqrt(std::max(1e-12, 1 - seen * seen));
  // the two scales' product is the solid angle of a small square, facing / d²
  const double across = facing / (d * slant) * deg_per_rad, along = slant / d * deg_per_rad;
  for (const Stipple& s : paint.stipple) {
    const double contrast = std::numbers::sqrt2 * pi * s.rms / s.pitch * ratio, cut = std::min(1.0, most_contrast / contrast);
    grain.push_back({4 * pi * std::pow(s.rms * ratio * cut, 2) * across * along, s.pitch * across});
  }
  return grain;
}

double pattern_visibility(const AngularPattern& pattern, const std::array<double, 4>& change) {
  if (!(pattern.luminance > 0)) return 0;
  std::vector<double> seen = pattern.contrast;
  for (std::size_t f = 0; f < change.size(); ++f)
    if (change[f] != 0)
      for (std::size_t i = 0; i < pattern.change[f].size(); ++i) seen[i] += change[f] * pattern.change[f][i];
  for (double& c : seen) c = std::clamp(c * pattern.share, -1.0, 1.0);
  return visibility(seen, pattern.degrees_per_sample, pattern.luminance, pattern.length_deg, pattern.grain);
}

}  // namespace rakelight
