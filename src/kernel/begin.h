// Opens the text of a kernel for C++: GLSL's float becomes double, its vectors GLM's double vectors. Included
// before the kernel and matched by kernel/end.h; no include guard on purpose.
#include <cmath>
#include <glm/glm.hpp>
#define KERNEL inline
#define float double
#define vec2 glm::dvec2
#define vec3 glm::dvec3
#define vec4 glm::dvec4
#define mat2 glm::dmat2
#define mat3 glm::dmat3
