// shaders/kernels/sky.glsl in double.
#pragma once
#include "kernel/begin.h"
namespace rakelight::kernel {
using namespace glm;
#include "kernels/sky.glsl"
}  // namespace rakelight::kernel
#include "kernel/end.h"
