// The sun through the windows.
#pragma once
#include <vector>

#include "kernel/window.h"
#include "light/light.h"
#include "light/receiver.h"

namespace rakelight {

/// The sun of one moment through every window, for many points.
class SunBeams {
 public:
  /// `room` and its windows outlive it.
  SunBeams(const Room& room, const SkyState& sky, const std::vector<Glazing>& glazing);
  bool any() const { return !through_.empty(); }
  /// False where no beam reaches any point of a ball; true where one may. p_window: of which recess the ball is a part, -1 of none.
  bool may_reach(dvec3 centre, double radius, int p_window) const;
  /// As sun_through.
  SunAt at(dvec3 p, int p_window) const;
  /// lx on the back of a window's glass, in its plane, cover left out.
  double on_glass(dvec3 p, int window) const;

 private:
  struct Through { int window; dvec3 to_sun; kernel::Shades shades; double illuminance, bare; };  ///< in the wall's frame; lx behind glass and cover, behind the glass
  const Room& room_;
  dvec3 sun_;
  std::vector<Through> through_;
};

/// Illuminance on a plane square to the beam at a point that may lie in a recess, and through which window.
SunAt sun_through(const Room& room, const SkyState& sky, const std::vector<Glazing>& glazing, dvec3 p, int p_window);
/// Its light vector's part along and across a face: sun_direction × illuminance, the normal part with the disc at the
/// terminator (kernels/sun.glsl). World axes.
dvec3 sun_vector(const SkyState& sky, const SunAt& sun, dvec3 n);

}  // namespace rakelight
