// What is seen at the corners of the pixels, so that the picture passes know where edges run.
#include "passes/rays.glsl"

vec4 corner_seen(ivec2 at) { return vec4(id_of(look_along(picture_ray(vec2(at)))), 0.0, 0.0, 0.0); }
