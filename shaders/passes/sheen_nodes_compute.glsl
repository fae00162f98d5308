// passes/sheen_nodes_body.glsl as a compute shader: all layers of all grids of a kind at once.
#include "passes/sheen_nodes_body.glsl"
#include "passes/sheen_list.glsl"

layout(std430, binding = 5) writeonly restrict buffer SheenValues { vec4 sheen_values[]; };

uniform int sheen_nodes;       // of the table in all
uniform vec2 node_slope[18];   // of each layer, over the largest

void main() {
  if (wanted_place() >= wanted_last) return;
  WantedNode n = wanted_node();
  int layer = int(gl_GlobalInvocationID.y);
  ivec2 node = ivec2(n.place.x, n.place.y - int(sheen_grid_row(n.surface, n.slopes ? 3 : 0).x));
  sheen_values[layer * sheen_nodes + n.place.y * sheen_width + n.place.x] = sheen_at_node(n.surface, n.slopes, node, node_slope[layer]);
}
