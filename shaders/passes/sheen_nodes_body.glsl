// What windows and the room add in sheen at the nodes of a face's grid: on the flat face and on tilted facets.
// Layer 0 is the flat face; then the nodes of slopes along x, of slopes along y, and one along both. Nodes that no pixel
// asks for are left out.
#include "passes/shading.glsl"
#include "passes/sheen_grid.glsl"

uniform int each_ray;    // of the room's rays, so many make one do

// `slopes`: of the grid of tilted facets; `tilt`: the layer's slope over the largest of the grid. Sheen; on flat faces of the room
// alone, the lowest window, and the sheen of windows.
vec4 sheen_at_node(int surface, bool slopes, ivec2 node, vec2 tilt) {
  SheenGrid grid = sheen_grid(surface, slopes);
  Place place = place_of(surface, sheen_place(grid, vec2(node)), eye);
  // what the relief hides is no part of the table
  place.rise = 0.0;
  place.steepest = 0.0;
  float room = 0.0;
  float windows = 0.0;
  if (place.eye.z > 0.0) {
    FacetAxes f = facet_axes(place, grid.place.w * tilt);
    room = room_sheen_by(place, f, each_ray);
    windows = window_sheen(place, f, 0.0, false);
  }
  if (slopes) return vec4(room + windows, 0.0, 0.0, 0.0);
  return vec4(room, lowest_window(place), windows, 0.0);
}
