// shaders/kernels/lamp.glsl and distribution.glsl in double.
#pragma once
#include "kernel/begin.h"
namespace rakelight::kernel {
using namespace glm;
#include "kernels/lamp.glsl"

/// The kernels that read a tabulated distribution, over that table alone.
struct LampKernels {
  const vec4* rows = nullptr;
  vec4 scene_row(int i) const { return rows[i]; }
#include "kernels/distribution.glsl"
};
}  // namespace rakelight::kernel
#include "kernel/end.h"
