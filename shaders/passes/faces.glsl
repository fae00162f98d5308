// passes/faces_body.glsl as a fragment shader; the depth marks what the other passes have to draw.
#include "passes/faces_body.glsl"

out vec4 result;

void main() {
  Drawn drawn = draw_face(ivec2(gl_FragCoord.xy));
  result = drawn.value;
  gl_FragDepth = drawn.mark;
}
