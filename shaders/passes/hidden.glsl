// passes/hidden_body.glsl as a fragment shader.
#include "passes/hidden_body.glsl"

out vec4 result;

void main() { result = draw_hidden(ivec2(gl_FragCoord.xy)); }
