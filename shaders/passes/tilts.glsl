// passes/tilts_body.glsl as a fragment shader, blended by adding.
#include "passes/tilts_body.glsl"

out vec4 result;

void main() { result = vec4(tilts_amiss(ivec2(gl_FragCoord.xy)), 0.0, 0.0); }
