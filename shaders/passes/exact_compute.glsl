// passes/exact_body.glsl as a compute shader.
#define SHARERS 1
#define GROUP 64
#include "passes/exact_body.glsl"
#include "passes/compute_list.glsl"

layout(rgba32f, binding = 0) uniform writeonly image2D target;

void main() {
  if (list_place() < list_last) imageStore(target, listed_pixel(list_place()), draw_exactly(listed_pixel(list_place())));
}
