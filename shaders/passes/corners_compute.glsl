// passes/corners_body.glsl as a compute shader.
#include "passes/corners_body.glsl"
#include "passes/compute.glsl"

layout(rgba32f, binding = 0) uniform writeonly image2D target;

void main() {
  if (inside_tile()) imageStore(target, tile_pixel(), corner_seen(tile_pixel()));
}
