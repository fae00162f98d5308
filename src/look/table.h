// Reads a scene's table through the kernels.
#pragma once
#include "kernel/scene.h"
#include "look/look.h"

namespace rakelight {

inline kernel::SceneKernels kernels_of(const Scene& scene) {
  kernel::SceneKernels k;
  k.rows = scene.rows.data();
  return k;
}

}  // namespace rakelight
