// passes/sheen_nodes_body.glsl as a compute shader: all layers of a grid at once.
#include "passes/sheen_nodes_body.glsl"

layout(local_size_x = 8, local_size_y = 8) in;
layout(rgba32f, binding = 0) uniform writeonly image2D target;

uniform ivec3 node_count;      // along x, along y, layers
uniform int node_layer;        // texels from layer to layer
uniform int node_row;          // first row of the grid
uniform vec2 node_slope[18];   // of each layer

void main() {
  ivec3 node = ivec3(gl_GlobalInvocationID);
  if (any(greaterThanEqual(node, node_count))) return;
  imageStore(target, ivec2(node.x + node.z * node_layer, node.y + node_row), sheen_at_node(node.xy, node_slope[node.z]));
}
