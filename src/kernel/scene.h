// shaders/kernels/scene.glsl, trace.glsl and shade.glsl in double: the kernels that read the scene's table, as
// members of a struct that holds the table, because they call the hook scene_row.
#pragma once
#include "kernel/field.h"
#include "kernel/glass.h"
#include "kernel/lamp.h"
#include "kernel/maths.h"
#include "kernel/relief.h"
#include "kernel/sheen.h"
#include "kernel/sky.h"
#include "kernel/substrate.h"
#include "kernel/sun.h"
#include "kernel/window.h"

#include "kernel/begin.h"
namespace rakelight::kernel {
using namespace glm;

struct SceneKernels {
  const vec4* rows = nullptr;
  vec4 scene_row(int i) const { return rows[i]; }
  vec4 scene_header(int i) const { return rows[i]; }
#include "kernels/distribution.glsl"
#include "kernels/scene.glsl"
#include "kernels/trace.glsl"
#include "kernels/shade.glsl"
};

}  // namespace rakelight::kernel
#include "kernel/end.h"
