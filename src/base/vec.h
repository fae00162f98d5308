// Vectors and matrices in double, from GLM.
#pragma once
#include <glm/glm.hpp>

namespace rakelight {
using glm::dmat2;
using glm::dmat3;
using glm::dvec2;
using glm::dvec3;
using glm::dvec4;
}  // namespace rakelight
