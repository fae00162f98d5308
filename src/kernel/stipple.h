// shaders/kernels/stipple.glsl in double, as a member of a struct that holds the waves, because it calls the hook stipple_wave.
#pragma once
#include "kernel/begin.h"
namespace rakelight::kernel {
using namespace glm;

struct StippleKernels {
  const vec4* waves = nullptr;
  vec4 stipple_wave(int i) const { return waves[i]; }
#include "kernels/stipple.glsl"
};

}  // namespace rakelight::kernel
#include "kernel/end.h"
