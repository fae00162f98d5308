// passes/sheen_nodes_body.glsl as a compute shader: all layers of all grids of a kind at once; threads share a node's rays and parts
// of windows.
#define SHARERS 4
#define GROUP 256
#include "passes/sheen_nodes_body.glsl"
#include "passes/sheen_list.glsl"

layout(std430, binding = 5) writeonly restrict buffer SheenValues { vec4 sheen_values[]; };

uniform int sheen_nodes;       // of the table in all
uniform vec2 node_slope[18];   // of each layer, over the largest

shared vec3 brought[GROUP];    // of each thread: weights and sum of the room's rays, the windows

void main() {
  int thread = int(gl_LocalInvocationIndex);
  int first = thread % SHARERS;
  int layer = int(gl_GlobalInvocationID.y);
  bool there = wanted_place() < wanted_last;
  WantedNode n;
  NodeShare share;
  if (there) {
    n = wanted_node();
    ivec2 node = ivec2(n.place.x, n.place.y - int(sheen_grid_row(n.surface, n.slopes ? 3 : 0).x));
    share = share_at_node(n.surface, n.slopes, node, node_slope[layer], first, SHARERS);
    brought[thread] = vec3(share.room.weights, share.room.sum, share.windows);
  }
  barrier();
  if (first > 0 || !there) return;
  for (int i = thread + 1; i < thread + SHARERS; i++) {
    share.room.weights += brought[i].x;
    share.room.sum += brought[i].y;
    share.windows += brought[i].z;
  }
  sheen_values[layer * sheen_nodes + n.place.y * sheen_width + n.place.x] = sheen_of_node(share, n.slopes);
}
