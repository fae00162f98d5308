// What a scene has none of. A software rasteriser runs both arms of every choice, so a lamp that might be a box or have a table costs as
// much as one that is and has; shaders made for scenes without such do without their code.
#pragma once
#include <string>
#include <vector>

#include "base/vec.h"

namespace rakelight {

/// Lines of `#define` that shaders/kernels/scene.glsl knows, true of the scene whose table these rows are; they hang on the job's
/// room, lamps and framing, never on the time. An empty table lacks all.
std::string scene_lacks(const std::vector<dvec4>& rows);

}  // namespace rakelight
