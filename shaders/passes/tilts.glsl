// passes/tilts_body.glsl as a fragment shader, blended by adding.
#include "passes/tilts_body.glsl"

out vec4 result;

void main() {
  PlainPixel at = plain_pixel(ivec2(gl_FragCoord.xy));
  result = vec4(0.0);
  if (at.surface < 0) return;
  TiltShares both = tilt_shares(at, 0, 1);
  result = vec4(amiss(both.facet), amiss(both.flat_face), 0.0, 0.0);
}
