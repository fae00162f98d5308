// shaders/kernels/relief.glsl in double.
#pragma once
#include "kernel/begin.h"
namespace rakelight::kernel {
using namespace glm;
#include "kernels/relief.glsl"
}  // namespace rakelight::kernel
#include "kernel/end.h"
