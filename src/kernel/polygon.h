// shaders/kernels/polygon.glsl in double.
#pragma once
#include "kernel/begin.h"
namespace rakelight::kernel {
using namespace glm;
#include "kernels/polygon.glsl"
}  // namespace rakelight::kernel
#include "kernel/end.h"
