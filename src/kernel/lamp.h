// shaders/kernels/lamp.glsl in double.
#pragma once
#include "kernel/begin.h"
namespace rakelight::kernel {
using namespace glm;
#include "kernels/lamp.glsl"
}  // namespace rakelight::kernel
#include "kernel/end.h"
