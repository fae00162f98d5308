// passes/hidden_body.glsl as a compute shader.
#define SHARERS 1
#define GROUP 64
#include "passes/hidden_body.glsl"
#include "passes/compute_list.glsl"

layout(rgba32f, binding = 0) uniform writeonly image2D target;

void main() {
  if (list_place() < list_last) imageStore(target, listed_pixel(list_place()), draw_hidden(listed_pixel(list_place())));
}
