// What the compute passes share that draw pixels out of a list. Whoever includes this says before
//   SHARERS   how many threads share a pixel
//   GROUP     how many threads make a group, whole pixels
#include "passes/pixel_list.glsl"

layout(local_size_x = GROUP) in;

uniform int list_first;    // place in the list of the first pixel to draw
uniform int list_last;     // after the last
uniform int list_start;    // of the list among all lists
uniform int picture_width;

int list_place() { return list_first + int(gl_GlobalInvocationID.x) / SHARERS; }
int sharer() { return int(gl_LocalInvocationIndex) % SHARERS; }
ivec2 listed_pixel(int place) {
  int at = int(listed[list_start + place]);
  return ivec2(at % picture_width, at / picture_width);
}
