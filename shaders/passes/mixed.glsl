// passes/mixed_body.glsl as a fragment shader.
#include "passes/mixed_body.glsl"

out vec4 result;

void main() { result = draw_mixed(ivec2(gl_FragCoord.xy)); }
