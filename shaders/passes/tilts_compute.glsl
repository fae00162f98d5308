// passes/tilts_body.glsl as a compute shader: threads share a pixel's rays and parts of windows.
#define SHARERS 2
#define GROUP 512
#include "passes/tilts_body.glsl"
#include "passes/compute_list.glsl"

layout(rgba32f, binding = 0) uniform image2D target;

shared vec3 brought[2][GROUP];   // of each thread, facet and flat face: weights and sum of the room's rays, the rest

float amiss_in_all(int face, TiltShare all) {
  int thread = int(gl_LocalInvocationIndex);
  for (int i = thread + 1; i < thread + SHARERS; i++) {
    vec3 one = brought[face][i];
    all.room.weights += one.x;
    all.room.sum += one.y;
    all.rest += one.z;
  }
  return amiss(all);
}

void main() {
  PlainPixel at;
  at.surface = -1;
  ivec2 pixel = ivec2(0);
  TiltShares both;
  if (list_place() < list_last) {
    pixel = listed_pixel(list_place());
    at = plain_pixel(pixel);
    if (at.surface >= 0) {
      both = tilt_shares(at, sharer(), SHARERS);
      brought[0][gl_LocalInvocationIndex] = vec3(both.facet.room.weights, both.facet.room.sum, both.facet.rest);
      brought[1][gl_LocalInvocationIndex] = vec3(both.flat_face.room.weights, both.flat_face.room.sum, both.flat_face.rest);
    }
  }
  barrier();
  if (sharer() > 0 || at.surface < 0) return;
  imageStore(target, pixel, imageLoad(target, pixel) + vec4(amiss_in_all(0, both.facet), amiss_in_all(1, both.flat_face), 0.0, 0.0));
}
