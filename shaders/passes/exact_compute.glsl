// passes/exact_body.glsl as a compute shader: threads share a pixel's rays, parts of windows and lamps.
#define SHARERS 8
#define GROUP 512
#include "passes/exact_body.glsl"
#include "passes/compute_list.glsl"

layout(rgba32f, binding = 0) uniform writeonly image2D target;

// of each thread, flat face and facet: weights and sum of the room's rays, the rest
shared vec3 brought[2][GROUP];

vec3 numbers(FacetShare s) { return vec3(s.room.weights, s.room.sum, s.windows + s.rest); }
float brought_in_all(int face, float albedo) {
  FacetShare all;
  all.room = RoomRays(0.0, 0.0);
  all.albedo = albedo;
  all.windows = 0.0;
  all.rest = 0.0;
  int thread = int(gl_LocalInvocationIndex);
  for (int i = thread; i < thread + SHARERS; i++) {
    vec3 one = brought[face][i];
    all.room.weights += one.x;
    all.room.sum += one.y;
    all.rest += one.z;
  }
  return sum_of_shares(all);
}

void main() {
  int thread = int(gl_LocalInvocationIndex);
  PlainPixel at;
  at.surface = -1;
  ivec2 pixel = ivec2(0);
  vec2 albedo = vec2(0.0);
  if (list_place() < list_last) {
    pixel = listed_pixel(list_place());
    at = plain_pixel(pixel);
    if (at.surface >= 0) {
      ShadedShare both = exact_share(at, sharer(), SHARERS);
      brought[0][thread] = numbers(both.flat_face);
      brought[1][thread] = numbers(both.facet);
      albedo = vec2(both.flat_face.albedo, both.facet.albedo);
    }
  }
  barrier();
  if (sharer() > 0 || at.surface < 0) return;
  imageStore(target, pixel, drawn(at, Shaded(brought_in_all(1, albedo.y), brought_in_all(0, albedo.x))));
}
