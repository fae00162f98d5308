// passes/faces_body.glsl as a compute shader, which lists what the other passes have to draw: a group of threads counts its own
// pixels first and takes its places in the lists at once, since all groups wait for the same four counts. Groups are large so that compilers give a thread few enough registers for many
// threads to run at once: on one card half the time of groups of 64.
#include "passes/faces_body.glsl"
#define GROUP_WIDE 16
#define GROUP_HIGH 32
#include "passes/compute.glsl"
#include "passes/pixel_list.glsl"

layout(rgba32f, binding = 0) uniform writeonly image2D target;
layout(std430, binding = 7) restrict buffer PixelCounts { uint left_pixels[4]; };
uniform int picture_width;
uniform int list_room;

shared uint own_pixels[4];
shared uint own_first[4];

void main() {
  uint thread = gl_LocalInvocationIndex;
  if (thread < 4u) own_pixels[thread] = 0u;
  barrier();
  ivec2 pixel = tile_pixel();
  int list = -1;
  uint place = 0u;
  if (inside_tile()) {
    Drawn drawn = draw_face(pixel);
    imageStore(target, pixel, drawn.value);
    if (drawn.mark == mixed_mark) list = 0;
    if (drawn.mark == hidden_mark) list = 1;
    if (drawn.mark == exact_mark) list = 2;
    if (drawn.mark == flats_mark || drawn.mark == windows_mark) list = 3;
    if (list >= 0) place = atomicAdd(own_pixels[list], 1u);
  }
  barrier();
  if (thread < 4u && own_pixels[thread] > 0u) own_first[thread] = atomicAdd(left_pixels[thread], own_pixels[thread]);
  barrier();
  if (list >= 0) listed[uint(list * list_room) + own_first[list] + place] = uint(pixel.y * picture_width + pixel.x);
}
