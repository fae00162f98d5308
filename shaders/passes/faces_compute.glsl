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
  // what replaces the pixel, and what adds to it; the kernels' list is that of tilted facets, of which they leave none
  int replaced = -1;
  int added = -1;
  uvec2 place = uvec2(0u);
  if (inside_tile()) {
    Drawn drawn = draw_face(pixel);
    imageStore(target, pixel, drawn.value);
    if (drawn.mixed) replaced = 0;
    if (drawn.hidden) replaced = 1;
    if (drawn.by_kernels || drawn.anew == anew_tilted) added = 2;
    else if (drawn.anew > anew_nothing) added = 3;
    if (replaced >= 0) place.x = atomicAdd(own_pixels[replaced], 1u);
    if (added >= 0) place.y = atomicAdd(own_pixels[added], 1u);
  }
  barrier();
  if (thread < 4u && own_pixels[thread] > 0u) own_first[thread] = atomicAdd(left_pixels[thread], own_pixels[thread]);
  barrier();
  uint number = uint(pixel.y * picture_width + pixel.x);
  if (replaced >= 0) listed[uint(replaced * list_room) + own_first[replaced] + place.x] = number;
  if (added >= 0) listed[uint(added * list_room) + own_first[added] + place.y] = number;
}
