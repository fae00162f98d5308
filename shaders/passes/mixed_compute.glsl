// passes/mixed_body.glsl as a compute shader: four threads a pixel, one for each of its points.
#define SHARERS 4
#define GROUP 64
#include "passes/mixed_body.glsl"
#include "passes/compute_list.glsl"

layout(rgba32f, binding = 0) uniform writeonly image2D target;

shared vec4 points_seen[GROUP];

void main() {
  int i = sharer();
  bool listed_here = list_place() < list_last;
  ivec2 pixel = ivec2(0);
  bool edge = false;
  if (listed_here) {
    pixel = listed_pixel(list_place());
    edge = pixel_ids(pixel).edge;
    if (edge || i == 0) points_seen[gl_LocalInvocationIndex] = mixed_point(pixel, edge, i);
  }
  barrier();
  if (!listed_here || i > 0) return;
  vec3 sum = points_seen[gl_LocalInvocationIndex].xyz;
  if (edge) {
    for (uint k = 1u; k < 4u; k++) sum += points_seen[gl_LocalInvocationIndex + k].xyz;
    sum /= 4.0;
  }
  imageStore(target, pixel, vec4(sum.xy, points_seen[gl_LocalInvocationIndex].w, sum.z));
}
