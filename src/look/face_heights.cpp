#include "look/face_heights.h"

#include <algorithm>
#include <cmath>

namespace rakelight {

using kernel::SceneKernels;

FaceHeights::FaceHeights(const SceneKernels& k, int surface) : k_(k), surface_(surface) {
  const dvec4 cells = k_.surface_at(surface, 10), box = k_.surface_at(surface, 4);
  first_cell_ = k_.whole(cells.x);
  nx_ = k_.whole(cells.y);
  ny_ = k_.whole(cells.z);
  side_ = cells.w;
  corner_ = {box.x, box.y};
  first_joint_ = k_.whole(k_.surface_at(surface, 11).x);
  plain_ = nx_ > 0 && k_.whole(k_.surface_at(surface, 8).w) < 1;
}

double FaceHeights::at(dvec2 p) {
  if (!plain_) return k_.scene_height(surface_, p);
  const int ix = std::clamp(static_cast<int>((p.x - corner_.x) / side_), 0, nx_ - 1), iy = std::clamp(static_cast<int>((p.y - corner_.y) / side_), 0, ny_ - 1);
  const dvec4* const cell = k_.rows + first_cell_ + (iy * nx_ + ix) * k_.cell_stride();
  // the only film that reaches here
  const dvec4* film = nullptr;
  double s = 0, u = 0;
  for (int i = 0; i < 8; ++i) {
    const double index = cell[i / 4][i % 4];
    if (index < 0) break;
    const dvec4* const joint = k_.rows + first_joint_ + static_cast<int>(index) * k_.joint_stride();
    const dvec4 &line = joint[0], &measures = joint[1];
    const dvec2 along(line.z, line.w), d = p - dvec2(line);
    const double there = glm::dot(d, along), aside = glm::dot(d, dvec2(line.w, -line.z)), length = measures.x, last = measures.y + measures.z * (measures.w - 1);
    if (joint[3].w > 0.5) {
      const double beyond = there - std::clamp(there, 0.0, length);
      if (aside * aside + beyond * beyond > last * last) continue;
      return k_.scene_height(surface_, p);
    }
    if (there <= 0 || there >= length || aside < measures.y || aside > last) continue;
    if (film) return k_.scene_height(surface_, p);
    film = joint;
    s = there;
    u = aside;
  }
  if (!film) return 0;
  // as joint_film_at and joint_film have it
  const dvec4 &measures = film[1], &edges = film[3];
  const double x = (u - measures.y) / measures.z, length = measures.x;
  if (x < 0 || x >= measures.w - 1) return 0;
  const int i = static_cast<int>(x);
  // samples lie two in a row
  const double* const sample = &k_.rows[static_cast<int>(film[2].x)].x + std::ptrdiff_t{2} * i;
  const double height = kernel::hermite_height(sample[0], sample[1], sample[2], sample[3], measures.z, x - i).height;
  const double taper = kernel::end_taper(edges.y - edges.x, length);
  if (s >= taper && length - s >= taper) return height;
  return height * (kernel::ease(s, taper).height * kernel::ease(length - s, taper).height);
}

double FaceHeights::unhidden(const SceneKernels::Place& place, dvec3 light, double h, double radius) {
  const double across = glm::length(dvec2(light));
  if (light.z - radius >= place.steepest * across) return 1;
  const dvec2 towards = dvec2(light) / across;
  const double slope = std::max(light.z - radius, 0.0) / across, reach = place.rise / std::max(slope, 0.005);
  double highest = -1;
  const auto seen = [&] { return kernel::disc_share((std::atan2(light.z, across) - std::atan(highest)) / std::max(radius, 1.0e-5)); };
  for (int k = 1; k <= 16; ++k) {
    const double t = reach * k / 16, there = (at(place.p + t * towards) - h) / t;
    if (there <= highest) continue;
    highest = there;
    // what is hidden stays hidden
    if (highest > slope && seen() <= 0) return 0;
  }
  // under the tangent of its lower edge's elevation, or less, all of it is seen
  return highest > (light.z - radius / across) / across ? seen() : 1;
}

}  // namespace rakelight
