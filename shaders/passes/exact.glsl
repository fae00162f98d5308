// passes/exact_body.glsl as a fragment shader.
#include "passes/exact_body.glsl"

out vec4 result;

void main() { result = draw_exactly(ivec2(gl_FragCoord.xy)); }
