// passes/faces_body.glsl as a compute shader, which lists what the other passes have to draw.
#include "passes/faces_body.glsl"
#include "passes/compute.glsl"
#include "passes/pixel_list.glsl"

layout(rgba32f, binding = 0) uniform writeonly image2D target;
uniform int picture_width;

void main() {
  if (!inside_tile()) return;
  ivec2 pixel = tile_pixel();
  Drawn drawn = draw_face(pixel);
  imageStore(target, pixel, drawn.value);
  uint at = uint(pixel.y * picture_width + pixel.x);
  if (drawn.mark == mixed_mark) listed[atomicAdd(mixed_pixels, 1u)] = at;
  if (drawn.mark == exact_mark) listed[uint(listed.length()) - 1u - atomicAdd(exact_pixels, 1u)] = at;
}
