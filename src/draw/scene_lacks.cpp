#include "draw/scene_lacks.h"

#include <cmath>

#include "kernel/scene.h"

namespace rakelight {

std::string scene_lacks(const std::vector<dvec4>& rows) {
  const std::vector<dvec4> none(9, dvec4(0));
  kernel::SceneKernels k{rows.empty() ? none.data() : rows.data()};
  bool discs = true, cosines = true, walls_only = true, no_shades = true, true_framing = true;
  for (int i = 0; i < k.lamp_count(); ++i) {
    discs = discs && dvec3(k.lamp_at(i, 4)) == dvec3(0);
    cosines = cosines && k.lamp_at(i, 2).y < 0;
  }
  for (int i = 0; i < k.window_count(); ++i) {
    walls_only = walls_only && std::abs(k.surface_frame(k.whole(k.window_at(i, 0).x)).n.z) <= 0.5;
    const auto shades = k.window_shades(i);
    no_shades = no_shades && shades.eaves <= 0 && shades.left <= 0 && shades.right <= 0;
  }
  for (int s = 0; s < k.surface_count(); ++s) true_framing = true_framing && k.whole(k.surface_at(s, 8).w) < 1;
  std::string defined;
  const auto define = [&defined](bool lacks, const char* name) {
    if (lacks) defined += std::string("#define ") + name + "\n";
  };
  define(discs, "ONLY_DISCS");
  define(cosines, "ONLY_COSINES");
  define(rows.empty() || k.room_convex(), "CONVEX_PLAN");
  define(walls_only, "NO_ROOF_WINDOWS");
  define(no_shades, "NO_SHADES");
  define(k.whole(k.scene_header(8).y) < 2, "LEVEL_SKYLINE");
  define(true_framing, "TRUE_FRAMING");
  return defined;
}

}  // namespace rakelight
