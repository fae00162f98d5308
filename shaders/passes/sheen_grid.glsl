// The grids of the table of sheen, as src/draw/renderer.cpp uploads them from src/draw/sheen_table.h. Needs scene and
// nodes before it.
// Six rows a surface: of the flat value, of what slopes add.
#ifdef STORAGE
layout(std430, binding = 3) readonly restrict buffer SheenGrids { vec4 sheen_grids[]; };
vec4 sheen_grid_row(int surface, int i) { return sheen_grids[6 * surface + i]; }
#else
uniform sampler2D sheen_grids;
vec4 sheen_grid_row(int surface, int i) { return texelFetch(sheen_grids, ivec2(i, surface), 0); }
#endif

struct SheenGrid {
  vec4 place;         // first row, nodes along x, along y (0: no relief), largest slope the fit holds for
  vec4 measure;       // node coordinate (kernels/nodes.glsl) of the first node and between two
  vec4 box;           // of the face
  NodeSpread spread;
};
SheenGrid sheen_grid(int surface, bool slopes) {
  int first = slopes ? 3 : 0;
  SheenGrid g;
  g.place = sheen_grid_row(surface, first);
  g.measure = sheen_grid_row(surface, first + 1);
  vec4 spread = sheen_grid_row(surface, first + 2);
  g.spread = NodeSpread(spread.x, spread.y, spread.z);
  g.box = surface_at(surface, 4);
  return g;
}
// Where a node lies on the face, m.
vec2 sheen_place(SheenGrid g, vec2 node) {
  vec2 u = g.measure.xy + node * g.measure.zw;
  return g.box.xy + vec2(place_of_node(g.spread, u.x, g.box.z - g.box.x), place_of_node(g.spread, u.y, g.box.w - g.box.y));
}
// Nodes from the first to a place, kept on the grid.
vec2 sheen_node(SheenGrid g, vec2 p) {
  vec2 d = p - g.box.xy;
  vec2 u = vec2(node_of_place(g.spread, d.x, g.box.z - g.box.x), node_of_place(g.spread, d.y, g.box.w - g.box.y));
  return vec2(field_coordinate(u.x, g.measure.x, g.measure.z, g.place.y), field_coordinate(u.y, g.measure.y, g.measure.w, g.place.z));
}
