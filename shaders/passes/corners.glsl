// passes/corners_body.glsl as a fragment shader.
#include "passes/corners_body.glsl"

out vec4 result;

void main() { result = corner_seen(ivec2(gl_FragCoord.xy)); }
