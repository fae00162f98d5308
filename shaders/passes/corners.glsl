// What is seen at the corners of the pixels, so that the picture pass knows where edges run.
#include "passes/rays.glsl"

out vec4 result;

void main() { result = vec4(id_of(look_along(picture_ray(gl_FragCoord.xy - 0.5))), 0.0, 0.0, 0.0); }
