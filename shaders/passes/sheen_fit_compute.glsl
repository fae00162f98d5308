// passes/sheen_fit_body.glsl as a compute shader: all layers of a node at once.
#define SHARERS 1
#define GROUP 64
#include "passes/sheen_list.glsl"

layout(std430, binding = 5) readonly restrict buffer SheenValues { vec4 sheen_values[]; };
layout(std430, binding = 4) writeonly restrict buffer SheenTable { vec4 sheen_table[]; };   // fit_layers a node

uniform int sheen_nodes;       // of the table in all
uniform int fit_layers;
vec4 sheen_value(ivec2 place, int layer) { return sheen_values[layer * sheen_nodes + place.y * sheen_width + place.x]; }
#include "passes/sheen_fit_body.glsl"

void main() {
  if (wanted_place() >= wanted_last) return;
  WantedNode n = wanted_node();
  SheenGrid grid = sheen_grid(n.surface, n.slopes);
  int at = fit_layers * (n.place.y * sheen_width + n.place.x);
  ivec2 node = ivec2(n.place.x, n.place.y - int(grid.place.x));
  if (!n.slopes) {
    sheen_table[at] = flat_fit(n.surface, grid, node);
    return;
  }
  if (sheen_degree < 3) {
    vec2 one = power_fit(int(grid.place.x), node, 0);
    vec2 two = power_fit(int(grid.place.x), node, 1);
    sheen_table[at] = vec4(one.x, two.x, one.y, two.y);
    return;
  }
  float at_mixed = 0.0;
  vec4 along_x = vec4(0.0);
  vec4 along_y = vec4(0.0);
  for (int i = 0; i < sheen_degree; i++) {
    vec2 power = power_fit(int(grid.place.x), node, i);
    at_mixed += mixed_part(power, i);
    along_x[i % 4] = power.x;
    along_y[i % 4] = power.y;
    if (i % 4 == 3) {
      sheen_table[at + 1 + i / 4 * 2] = along_x;
      sheen_table[at + 2 + i / 4 * 2] = along_y;
    }
  }
  sheen_table[at] = mixed_fit(grid, node, at_mixed);
}
