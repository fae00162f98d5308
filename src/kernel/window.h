// shaders/kernels/window.glsl in double.
#pragma once
#include "kernel/sun.h"
#include "kernel/begin.h"
namespace rakelight::kernel {
using namespace glm;
#include "kernels/window.glsl"
}  // namespace rakelight::kernel
#include "kernel/end.h"
