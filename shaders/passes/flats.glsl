// passes/flats_body.glsl as a fragment shader.
#include "passes/flats_body.glsl"

out vec4 result;

void main() { result = draw_flats(ivec2(gl_FragCoord.xy)); }
