// shaders/kernels/sheen.glsl in double.
#pragma once
#include "base/wide_angle.h"
#include "kernel/maths.h"

// the kernel's own is kept beside the one below, which is held to it
#define slope_share slope_share_by_edges
#include "kernel/begin.h"
namespace rakelight::kernel {
using namespace glm;
#include "kernels/sheen.glsl"
}  // namespace rakelight::kernel
#include "kernel/end.h"
#undef slope_share

namespace rakelight::kernel {

/// slope_share, four edges at a time.
inline double slope_share(glm::dvec2 a, glm::dvec2 b, glm::dvec2 c, glm::dvec2 d) {
  const Four ax{a.x, b.x, c.x, d.x}, ay{a.y, b.y, c.y, d.y}, bx{b.x, c.x, d.x, a.x}, by{b.y, c.y, d.y, a.y}, ex = bx - ax, ey = by - ay, zero{};
  Four l, s, angle;
  square_root(l, ex * ex + ey * ey);
  const auto there = l > 1.0e-12;
  const Four length = there ? l : zero + 1.0, q = (ax * by - ay * bx) / length, ta = (ax * ex + ay * ey) / length, tb = (bx * ex + by * ey) / length;
  square_root(s, 1.0 + q * q);
  angle_of(angle, s * (tb - ta), s * s + ta * tb);
  return std::abs(sum_of(there ? q / s * angle : zero)) / 6.283185307179586;
}

}  // namespace rakelight::kernel
