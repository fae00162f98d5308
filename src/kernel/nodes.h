// shaders/kernels/nodes.glsl in double.
#pragma once
#include "kernel/begin.h"
namespace rakelight::kernel {
using namespace glm;
#include "kernels/nodes.glsl"
}  // namespace rakelight::kernel
#include "kernel/end.h"
