// What windows and the room add in sheen at the nodes of a face's grid: on the flat face and on tilted facets.
// Layer 0 is the flat face; then the nodes of slopes along x, of slopes along y, and one along both.
#include "passes/shading.glsl"

uniform int node_surface;
uniform vec4 node_grid;      // first node, spacing, m
uniform vec2 node_corner;    // of the viewport, texels
uniform vec2 node_slope;
out vec4 result;

void main() {
  vec2 p = node_grid.xy + floor(gl_FragCoord.xy - node_corner) * node_grid.zw;
  Place place = place_of(node_surface, p, eye);
  // what the relief hides is no part of the table
  place.rise = 0.0;
  place.steepest = 0.0;
  float sheen = place.eye.z > 0.0 ? facet_sheen(place, facet_axes(place, node_slope), 0.0, false) : 0.0;
  result = vec4(sheen, lowest_window(place), 0.0, 0.0);
}
