// What a lamp sends to a point: its opening in parts when near, by the kernels that the picture uses.
#pragma once
#include "kernel/lamp.h"
#include "light/light.h"

namespace rakelight {

/// A lamp with its table in the form the kernels take; world axes. Outlived by the lamp.
class LampLight {
 public:
  explicit LampLight(const Lamp& lamp);

  /// Intensity towards a unit direction from the lamp, cd.
  double candela(dvec3 direction) const {
    kernel::LampKernels kernels = kernels_;
    return kernels.lamp_candela(form_, direction);
  }

  /// Light vector at p on a face with normal n, lx, world axes: each part with the face's horizon cut. `seen` says
  /// whether a point of the lamp is seen from p; of a disc its middle decides.
  template <class Seen>
  dvec3 at(dvec3 p, dvec3 n, Seen&& seen) const {
    kernel::LampKernels kernels = kernels_;
    const kernel::LampView view = kernel::lamp_view(form_, p, n);
    dvec3 sum{0};
    if (!view.box && !seen(form_.at)) return sum;
    for (int k = 0; k < view.count; ++k) {
      const kernel::LampPart part = kernel::lamp_part(form_, view, k);
      if (part.share > 0 && glm::dot(part.to, n) > 0 && (!view.box || seen(p + part.to))) sum += kernels.lamp_part_light(form_, part);
    }
    return sum;
  }

 private:
  kernel::LampForm form_;
  kernel::LampKernels kernels_;
};

/// The same for a single point.
template <class Seen>
dvec3 lamp_light(const Lamp& lamp, dvec3 p, dvec3 n, Seen&& seen) { return LampLight(lamp).at(p, n, seen); }

}  // namespace rakelight
