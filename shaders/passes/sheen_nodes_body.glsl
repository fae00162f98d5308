// What windows and the room add in sheen at the nodes of a face's grid: on the flat face and on tilted facets.
// Layer 0 is the flat face; then the nodes of slopes along x, of slopes along y, and one along both. Nodes that no pixel
// asks for are left out.
#include "passes/shading.glsl"
#include "passes/sheen_grid.glsl"

uniform int node_surface;
uniform bool node_slopes;    // the grid of tilted facets
uniform sampler2D sheen_wanted;

vec4 sheen_at_node(ivec2 node, vec2 slope) {
  SheenGrid grid = sheen_grid(node_surface, node_slopes);
  if (texelFetch(sheen_wanted, ivec2(node.x, int(grid.place.x) + node.y), 0).x < 0.5) return vec4(0.0);
  Place place = place_of(node_surface, sheen_place(grid, vec2(node)), eye);
  // what the relief hides is no part of the table
  place.rise = 0.0;
  place.steepest = 0.0;
  float sheen = place.eye.z > 0.0 ? facet_sheen(place, facet_axes(place, slope), 0.0, false) : 0.0;
  return vec4(sheen, node_slopes ? 0.0 : lowest_window(place), 0.0, 0.0);
}
