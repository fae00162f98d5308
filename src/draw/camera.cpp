#include "draw/camera.h"

#include <algorithm>
#include <cmath>
#include <stdexcept>

#include "kernel/scene.h"

namespace rakelight {
namespace {

Camera perspective(const View& view) {
  const dvec3 towards = view.target - view.eye;
  if (glm::length(towards) < 1e-6) throw std::invalid_argument("the eye stands on what it looks at");
  if (!(view.field_of_view > 0.01 && view.field_of_view < 3.0))
    throw std::invalid_argument("the field of view is not between 0.6 and 170 degrees");
  const dvec3 forward = glm::normalize(towards);
  // looking straight up or down: plan +y is at the top of the picture
  const bool steep = std::abs(forward.z) > 0.9999;
  const dvec3 right = glm::normalize(glm::cross(forward, steep ? dvec3(0, 1, 0) : dvec3(0, 0, 1)));
  const dvec3 up = glm::cross(right, forward);
  const double half = std::tan(0.5 * view.field_of_view);
  const double pixel = 2 * half / view.width;
  Camera camera;
  camera.eye = view.eye;
  camera.step_x = pixel * right;
  camera.step_y = -pixel * up;
  camera.corner = forward - 0.5 * view.width * camera.step_x - 0.5 * view.height * camera.step_y;
  camera.footprint_angle = pixel;
  return camera;
}

Camera square_on(const Scene& scene, const View& view) {
  kernel::SceneKernels table{scene.rows.data()};
  if (view.surface < 0 || view.surface >= table.surface_count()) throw std::invalid_argument("no such surface");
  const kernel::SceneKernels::FaceFrame face = table.surface_frame(view.surface);
  const Frame frame{face.origin, face.x, face.y, face.n};
  const double height = frame.height_of(view.eye);
  if (height < 1e-3) throw std::invalid_argument("the eye is not in front of the surface");
  if (view.region.width() <= 0 || view.region.height() <= 0) throw std::invalid_argument("the region to show is empty");
  const double pixel = std::max(view.region.width() / view.width, view.region.height() / view.height);
  const dvec2 middle = 0.5 * (view.region.lo + view.region.hi);
  const dvec2 top_left = middle + 0.5 * pixel * dvec2(-view.width, view.height);
  Camera camera;
  camera.eye = view.eye;
  camera.corner = frame.world_from_surface(top_left) - view.eye;
  camera.step_x = pixel * frame.x;
  camera.step_y = -pixel * frame.y;
  camera.facing = view.surface;
  camera.footprint = pixel;
  return camera;
}

}  // namespace

Camera camera_of(const Scene& scene, const View& view) {
  if (view.width < 1 || view.height < 1 || view.width > 16384 || view.height > 16384)
    throw std::invalid_argument("a picture has 1 to 16384 pixels a side");
  return view.kind == View::Kind::perspective ? perspective(view) : square_on(scene, view);
}

View square_on_view(const Room& room, int surface, dvec3 eye, int width, int height) {
  const Surface& face = room.surfaces[static_cast<std::size_t>(surface)];
  const double margin = 0.04 * std::max(face.box.width(), face.box.height());
  View view;
  view.kind = View::Kind::square_on;
  view.surface = surface;
  view.region = {face.box.lo - dvec2(margin), face.box.hi + dvec2(margin)};
  view.eye = eye;
  view.target = face.frame.world_from_surface(0.5 * (face.box.lo + face.box.hi));
  view.width = width;
  view.height = height;
  return view;
}

}  // namespace rakelight
