// The nodes of the table of sheen that some pixel asks for, listed: those of grids of flat values first. Compute shaders only. Whoever includes this
// says before: SHARERS, how many threads share a node; GROUP, how many make a group.
layout(std430, binding = 6) readonly restrict buffer SheenWanted { uvec2 sheen_wanted[]; };

layout(local_size_x = GROUP) in;

uniform int wanted_first;     // place in the list of the first to make
uniform int wanted_last;      // after the last
uniform int sheen_width;      // nodes in a row of the table

struct WantedNode {
  int surface;
  bool slopes;                // of the grid of tilted facets
  ivec2 place;                // column and row of the table
};
int wanted_place() { return wanted_first + int(gl_GlobalInvocationID.x) / SHARERS; }
WantedNode wanted_node() {
  uvec2 node = sheen_wanted[wanted_place()];
  WantedNode n;
  n.place = ivec2(node.x & 65535u, node.x >> 16);
  n.surface = int(node.y >> 1);
  n.slopes = (node.y & 1u) == 1u;
  return n;
}
