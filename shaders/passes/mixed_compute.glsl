// passes/mixed_body.glsl as a compute shader.
#include "passes/mixed_body.glsl"
#include "passes/compute_list.glsl"

void main() {
  if (list_place() < list_last) imageStore(target, listed_pixel(), draw_mixed(listed_pixel()));
}
