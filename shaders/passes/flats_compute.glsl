// passes/flats_body.glsl as a compute shader.
#include "passes/flats_body.glsl"
#include "passes/compute_list.glsl"

void main() {
  if (list_place() < list_last) imageStore(target, listed_pixel(list_place()), draw_flats(listed_pixel(list_place())));
}
