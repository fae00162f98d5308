// passes/tilts_body.glsl as a compute shader.
#define SHARERS 1
#define GROUP 512
#include "passes/tilts_body.glsl"
#include "passes/compute_list.glsl"

layout(rgba32f, binding = 0) uniform image2D target;

void main() {
  if (list_place() >= list_last) return;
  ivec2 pixel = listed_pixel(list_place());
  imageStore(target, pixel, imageLoad(target, pixel) + vec4(tilts_amiss(pixel), 0.0, 0.0));
}
