#include "oracle/joints.h"

#include <cmath>
#include <stdexcept>

namespace oracle {
namespace {
constexpr double crown = 1e-3, half_width = 0.275;
}  // namespace

double height(double u) { return 0.5 * crown * (1 + std::cos(pi * u / half_width)); }
double slope(double u) { return -0.5 * crown * pi / half_width * std::sin(pi * u / half_width); }

std::vector<double> offsets() {
  std::vector<double> out;
  for (int i = -10; i <= 10; ++i) out.push_back(0.026 * i + 0.0005);
  return out;
}

SaidContrast said_contrast(const Joint& j, const Program& program, const rakelight::Paint& paint, dvec3 eye) {
  rakelight::PlacedJoint placed;
  placed.line.surface = j.face;
  placed.line.from = j.from;
  placed.line.to = j.to;
  placed.line.room_left = placed.line.room_right = half_width + 0.05;
  const double step = 0.5e-3;
  placed.section.first = -half_width;
  placed.section.step = step;
  std::vector<double> heights, slopes;
  for (int i = 0; i <= static_cast<int>(std::lround(2 * half_width / step)); ++i) {
    heights.push_back(height(-half_width + i * step));
    slopes.push_back(slope(-half_width + i * step));
  }
  placed.section.height = std::move(heights);
  placed.section.slope = std::move(slopes);
  placed.section.left = -half_width;
  placed.section.right = half_width;
  rakelight::Relief relief;
  relief.joints = {placed};
  std::vector<rakelight::Relief> reliefs(program.room.surfaces.size());
  reliefs[static_cast<std::size_t>(j.face)] = relief;
  const std::vector<rakelight::Paint> paints(program.room.surfaces.size(), paint);
  const rakelight::Scene table = rakelight::make_scene(program.room, program.lighting, reliefs, paints);
  const auto profiles = rakelight::contrast_across(table, program.lighting, program.room, j.face, relief, 0, {0.5 * glm::length(j.to - j.from)}, eye);
  if (profiles.size() != 1) throw std::runtime_error("no profile");
  SaidContrast out;
  out.flat_luminance = profiles[0].flat_luminance;
  const auto& p = profiles[0];
  for (const double u : offsets()) {
    std::size_t nearest = 0;
    for (std::size_t i = 0; i < p.offset.size(); ++i)
      if (std::abs(p.offset[i] - u) < std::abs(p.offset[nearest] - u)) nearest = i;
    if (std::abs(p.offset[nearest] - u) > 0.6e-3) throw std::runtime_error("no cell there");
    out.contrast.push_back(p.contrast[nearest]);
  }
  return out;
}

}  // namespace oracle
