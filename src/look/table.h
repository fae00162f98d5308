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

/// Where every face is as it is over compound. Precondition: scene.over_compound is there.
inline kernel::SceneKernels kernels_over_compound(const Scene& scene) {
  kernel::SceneKernels k;
  k.rows = scene.over_compound.data();
  return k;
}

}  // namespace rakelight
