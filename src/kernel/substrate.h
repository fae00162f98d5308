// shaders/kernels/substrate.glsl in double.
#pragma once
#include "kernel/relief.h"

#include "kernel/begin.h"
namespace rakelight::kernel {
using namespace glm;
#include "kernels/substrate.glsl"
}  // namespace rakelight::kernel
#include "kernel/end.h"
