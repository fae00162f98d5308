#include "assess/looks.h"

#include <algorithm>
#include <cmath>

#include "sight/sight.h"

namespace rakelight {
namespace {

std::vector<double> stations_along(double length) {
  const double inset = std::min(0.15, 0.1 * length);  // past the feathers' dying ends
  return {inset, 0.25 * length, 0.5 * length, 0.75 * length, length - inset};
}

}  // namespace

std::vector<double> stations_of(const JointLine& line) {
  std::vector<double> stations = stations_along(line.length());
  if (line.spots.empty()) return stations;
  for (double& s : stations)
    s = *std::min_element(line.spots.begin(), line.spots.end(), [&](double a, double b) { return std::abs(a - s) < std::abs(b - s); });
  stations.erase(std::unique(stations.begin(), stations.end()), stations.end());
  return stations;
}

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
