#include "assess/looks.h"

#include <cmath>

#include "sight/sight.h"

namespace rakelight {
double veil_at(const std::vector<GlareSource>& sources, dvec3 eye, dvec3 point, double age) {
  const dvec3 gaze = glm::normalize(point - eye);
  double veil = 0;
  for (const auto& source : sources) {
    const double cos_angle = glm::dot(gaze, source.direction);
    if (cos_angle <= 0) continue;
    const double angle = std::atan2(glm::length(glm::cross(gaze, source.direction)), cos_angle);
    veil += veiling_luminance(angle, source.illuminance * cos_angle, age);
  }
  return veil;
}

std::vector<int> viewers_of(const Study& study, int surface) {
  std::vector<int> viewers;
  for (int v = 0; v < static_cast<int>(study.viewers.size()); ++v) {
    const Viewer& viewer = study.viewers[v];
    if (viewer.only_surface >= 0 && viewer.only_surface != surface) continue;
    // a face seen within a millimetre of edge on shows nothing
    if (study.room.surfaces[surface].frame.height_of(viewer.eye) > 1e-3) viewers.push_back(v);
  }
  return viewers;
}

}  // namespace rakelight
