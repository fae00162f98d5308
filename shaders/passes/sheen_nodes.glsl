// passes/sheen_nodes_body.glsl as a fragment shader: all layers of all grids of a kind in one draw. The nodes that some pixel asks
// for stand in a list, as many a row as the target is wide; layers lie one above the other.
#include "passes/sheen_nodes_body.glsl"

uniform sampler2D sheen_wanted;   // of each node: column, row of the table, surface, 1 when of the grid of tilted facets
uniform int list_width;
uniform int list_first;           // of this kind
uniform int list_last;            // after the last
uniform int first_row;            // of the target
uniform int layer_rows;           // of one layer
uniform vec2 node_slope[18];      // of each layer, over the largest
out vec4 result;

void main() {
  ivec2 at = ivec2(gl_FragCoord.xy) - ivec2(0, first_row);
  int layer = at.y / layer_rows;
  int place = list_first + (at.y - layer * layer_rows) * list_width + at.x;
  result = vec4(0.0);
  if (place >= list_last) return;
  vec4 node = texelFetch(sheen_wanted, ivec2(place % list_width, place / list_width), 0);
  int surface = int(node.z);
  bool slopes = node.w > 0.5;
  ivec2 on_grid = ivec2(node.xy) - ivec2(0, int(sheen_grid_row(surface, slopes ? 3 : 0).x));
  result = sheen_of_node(share_at_node(surface, slopes, on_grid, node_slope[layer], 0, 1), slopes);
}
