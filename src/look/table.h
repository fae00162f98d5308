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

/// Calls found(part) for every part of the windows' glass in sight of a point, in the kernel's order (window_sheen); none where
/// nothing comes from outside.
template <class Found>
void for_each_glass_part(kernel::SceneKernels& k, dvec3 world, Found&& found) {
  if (!k.outside_lit()) return;
  const kernel::Outside outside = k.scene_outside();
  for (int w = 0; w < k.window_count(); ++w) {
    const auto v = k.glass_view(w, world);
    if (!v.visible) continue;
    const dvec4 glass = k.window_at(w, 2);
    const int wall = k.whole(k.window_at(w, 0).x);
    const double back = v.p.z / (v.p.z + v.reveal);
    for (int i = 0; i < k.glass_columns(); ++i)
      for (int j = 0; j < k.glass_bands(); ++j) {
        const dvec4 s = k.glass_strip(v, i, j);
        if (s.w - s.z <= 1e-6 || s.y - s.x <= 1e-6) continue;
        const dvec2 on_face = dvec2(v.p) + back * (0.5 * dvec2(s.x + s.y, s.z + s.w) - dvec2(v.p));
        const auto part = k.glass_part(v, outside, glass, k.patch_light(wall, on_face).x / 3.141592653589793, s.x, s.y, s.z, s.w);
        if (k.part_in_sight(world, v, part)) found(part);
      }
  }
}

}  // namespace rakelight
