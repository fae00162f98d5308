// passes/exact_body.glsl as a fragment shader.
#include "passes/exact_body.glsl"

out vec4 result;

void main() {
  PlainPixel at = plain_pixel(ivec2(gl_FragCoord.xy));
  result = vec4(0.0);
  if (at.surface >= 0) result = drawn(at, sum_of_shades(exact_share(at, 0, 1)));
}
