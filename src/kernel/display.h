// shaders/kernels/display.glsl in double.
#pragma once
#include "kernel/begin.h"
namespace rakelight::kernel {
using namespace glm;
using glm::uint;
#include "kernels/display.glsl"
}  // namespace rakelight::kernel
#include "kernel/end.h"
