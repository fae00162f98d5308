// shaders/kernels/sheen.glsl in double.
#pragma once
#include "kernel/maths.h"

#include "kernel/begin.h"
namespace rakelight::kernel {
using namespace glm;
#include "kernels/sheen.glsl"
}  // namespace rakelight::kernel
#include "kernel/end.h"
