// passes/sheen_fit_body.glsl as a fragment shader: one layer a draw.
uniform sampler2D sheen_values;   // as passes/sheen_nodes.glsl lays it out
uniform sampler2D sheen_places;   // of a node of the table: its place in the list of its kind; -1: no pixel asks for it
uniform int list_width;
uniform int first_row;            // of the values of this kind
uniform int layer_rows;
vec4 sheen_value(ivec2 place, int layer) {
  int at = int(texelFetch(sheen_places, place, 0).x);
  if (at < 0) return vec4(0.0);
  return texelFetch(sheen_values, ivec2(at % list_width, first_row + layer * layer_rows + at / list_width), 0);
}
#include "passes/sheen_fit_body.glsl"

uniform int node_surface;
uniform bool node_slopes;    // the grid of tilted facets
uniform ivec2 fit_corner;    // of the viewport: layer's and face's first texel
uniform int fit_of;          // the layer
out vec4 result;

void main() {
  ivec2 node = ivec2(gl_FragCoord.xy) - fit_corner;
  SheenGrid grid = sheen_grid(node_surface, node_slopes);
  if (!node_slopes) {
    result = flat_fit(node_surface, grid, node);
    return;
  }
  result = vec4(0.0);
  if (sheen_degree < 3) {
    vec2 one = power_fit(int(grid.place.x), node, 0);
    vec2 two = power_fit(int(grid.place.x), node, 1);
    result = vec4(one.x, two.x, one.y, two.y);
    return;
  }
  float at_mixed = 0.0;
  for (int i = 0; i < sheen_degree; i++) {
    vec2 power = power_fit(int(grid.place.x), node, i);
    at_mixed += mixed_part(power, i);
    if (i / 4 == (fit_of - 1) / 2) result[i - i / 4 * 4] = fit_of == 1 || fit_of == 3 ? power.x : power.y;
  }
  if (fit_of == 0) result = mixed_fit(grid, node, at_mixed);
}
