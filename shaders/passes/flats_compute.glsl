// passes/flats_body.glsl as a compute shader: threads share a pixel's rays and parts of windows.
#define SHARERS 4
#define GROUP 512
#include "passes/flats_body.glsl"
#include "passes/compute_list.glsl"

layout(rgba32f, binding = 0) uniform image2D target;

shared vec3 brought[GROUP];   // of each thread: weights and sum of the room's rays, the windows

void main() {
  int thread = int(gl_LocalInvocationIndex);
  bool there = list_place() < list_last;
  ivec2 pixel = ivec2(0);
  FlatShare share;
  if (there) {
    pixel = listed_pixel(list_place());
    share = flat_share(pixel, sharer(), SHARERS);
    brought[thread] = vec3(share.room.weights, share.room.sum, share.windows);
  }
  barrier();
  if (sharer() > 0 || !there) return;
  for (int i = thread + 1; i < thread + SHARERS; i++) {
    share.room.weights += brought[i].x;
    share.room.sum += brought[i].y;
    share.windows += brought[i].z;
  }
  imageStore(target, pixel, imageLoad(target, pixel) + vec4(vec2(flat_amiss(share)), 0.0, 0.0));
}
