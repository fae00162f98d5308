// Heights of a face's relief at many points.
#pragma once
#include "base/vec.h"
#include "kernel/scene.h"

namespace rakelight {

/// The kernels' scene_height of one face. Where no more than one film between sheets reaches, its section is read at once, which is
/// several times as quick; elsewhere the kernel is asked. The table that `k` reads must outlive it.
class FaceHeights {
 public:
  FaceHeights(const kernel::SceneKernels& k, int surface);
  /// m over the ideal face, at a point of it.
  double at(dvec2 p);
  /// The kernels' unhidden: share of a source of that angular radius (rad), towards `light` (unit, face frame), that the relief leaves
  /// in sight of a point lifted by h.
  double unhidden(const kernel::SceneKernels::Place& place, dvec3 light, double h, double radius);

 private:
  kernel::SceneKernels k_;
  int surface_, first_joint_, first_cell_, nx_, ny_;
  double side_;
  dvec2 corner_;
  bool plain_;  ///< joints and no framing under them
};

}  // namespace rakelight
