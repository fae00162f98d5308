// passes/mixed_body.glsl as a fragment shader.
#include "passes/mixed_body.glsl"

out vec4 result;

void main() {
  ivec2 pixel = ivec2(gl_FragCoord.xy);
  bool edge = pixel_ids(pixel).edge;
  int points = edge ? 4 : 1;
  float id = 0.0;
  vec3 sum = vec3(0.0);
  // tested at its end, as in passes/pixels.glsl
  int i = 0;
  while (true) {
    vec4 point = mixed_point(pixel, edge, i);
    if (i == 0) id = point.w;
    sum += point.xyz;
    i++;
    if (i >= points) break;
  }
  sum /= float(points);
  result = vec4(sum.xy, id, sum.z);
}
