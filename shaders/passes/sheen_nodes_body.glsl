// What windows and the room add in sheen at the nodes of a face's grid: on the flat face and on tilted facets.
// Layer 0 is the flat face; then the nodes of slopes along x, of slopes along y, and one along both. Nodes that no pixel
// asks for are left out.
#include "passes/shading.glsl"
#include "passes/sheen_grid.glsl"

uniform int each_ray;    // of the room's rays, so many make one do

// What one of several threads brings of a node's sheen.
struct NodeShare {
  RoomRays room;
  float albedo;      // of the coat: the same for all
  float windows;
  float lowest;      // window, of flat faces
};
// `slopes`: of the grid of tilted facets; `tilt`: the layer's slope over the largest of the grid. Thread `first` of `each`.
NodeShare share_at_node(int surface, bool slopes, ivec2 node, vec2 tilt, int first, int each) {
  SheenGrid grid = sheen_grid(surface, slopes);
  Place place = place_of(surface, sheen_place(grid, vec2(node)), eye);
  // what the relief hides is no part of the table
  place.rise = 0.0;
  place.steepest = 0.0;
  NodeShare share;
  FacetAxes f = facet_axes(place, grid.place.w * tilt);
  share.albedo = f.albedo;
  share.room = RoomRays(0.0, 0.0);
  share.windows = 0.0;
  share.lowest = 1.0e30;
  if (place.eye.z > 0.0) {
    share.room = room_rays(place, f, each_ray * first, each_ray * each);
    share.windows = windows_luminance(place, f, 0.0, false, false, first, each);
  }
  if (!slopes && first == 0) share.lowest = lowest_window(place);
  return share;
}
// Sheen; on flat faces of the room alone, the lowest window, and the sheen of windows.
vec4 sheen_of_node(NodeShare all, bool slopes) {
  float room = sheen_of_rays(all.albedo, all.room);
  if (slopes) return vec4(room + all.windows, 0.0, 0.0, 0.0);
  return vec4(room, all.lowest, all.windows, 0.0);
}
