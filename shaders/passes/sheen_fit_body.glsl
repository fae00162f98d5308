// Makes the table of sheen of values at nodes. Of a grid of tilted facets: the coefficients of polynomials in the slope
// without a constant term. Layer 0 keeps the mixed term and how unevenly what tilting adds runs from node to node; layers 1
// and 3 the powers of the slope along x, 2 and 4 of that along y. Of degree 2 there is one layer: powers 1 and 2 along x, then along y.
// Whoever includes this provides
//   vec4 sheen_value(ivec2 place, int layer), of passes/sheen_nodes_body.glsl at a column and row of the table.
#include "passes/scene_table.glsl"
#include "kernels/maths.glsl"
#include "kernels/sky.glsl"
#include "kernels/field.glsl"
#include "kernels/sheen.glsl"
#include "kernels/relief.glsl"
#include "kernels/substrate.glsl"
#include "kernels/scene.glsl"
#include "kernels/nodes.glsl"
#include "passes/sheen_grid.glsl"

uniform int sheen_degree;
uniform float fit[64];       // coefficient i of node j at i * degree + j
uniform float mixed_slope;   // of the node along both, over the largest
uniform vec2 uneven_flat;    // third difference of the flat value allowed, of the face's luminance: of the room's share, of windows'

// Of a grid's first row in the table.
float value_at(int row, ivec2 node, int layer) { return sheen_value(ivec2(node.x, row + node.y), layer).x; }
float added(int row, ivec2 node, int layer) { return layer > 0 ? value_at(row, node, layer) - value_at(row, node, 0) : value_at(row, node, 0); }

float third_difference(int row, ivec2 node, ivec2 way, int layer) {
  return abs(added(row, node + 3 * way, layer) - added(row, node, layer) + 3.0 * (added(row, node + way, layer) - added(row, node + 2 * way, layer)));
}
// Largest third difference near a node of what a slope adds, or of the flat value: interpolation is exact where there is
// none, and kinks show in one of two neighbouring cells.
float uneven_at(int row, ivec2 node, ivec2 nodes, int layer) {
  ivec2 here = clamp(node - 1, ivec2(0), nodes - 4);
  ivec2 before = clamp(node - 2, ivec2(0), nodes - 4);
  return max(max(third_difference(row, ivec2(here.x, node.y), ivec2(1, 0), layer), third_difference(row, ivec2(before.x, node.y), ivec2(1, 0), layer)),
             max(third_difference(row, ivec2(node.x, here.y), ivec2(0, 1), layer), third_difference(row, ivec2(node.x, before.y), ivec2(0, 1), layer)));
}

// The same of the flat values of the room and of windows.
vec2 flat_third(int row, ivec2 node, ivec2 way) {
  vec4 d = sheen_value(ivec2(node.x, row + node.y) + 3 * way, 0) - sheen_value(ivec2(node.x, row + node.y), 0) +
           3.0 * (sheen_value(ivec2(node.x, row + node.y) + way, 0) - sheen_value(ivec2(node.x, row + node.y) + 2 * way, 0));
  return abs(d.xz);
}
vec2 flat_uneven(int row, ivec2 node, ivec2 nodes) {
  ivec2 here = clamp(node - 1, ivec2(0), nodes - 4);
  ivec2 before = clamp(node - 2, ivec2(0), nodes - 4);
  return max(max(flat_third(row, ivec2(here.x, node.y), ivec2(1, 0)), flat_third(row, ivec2(before.x, node.y), ivec2(1, 0))),
             max(flat_third(row, ivec2(node.x, here.y), ivec2(0, 1)), flat_third(row, ivec2(node.x, before.y), ivec2(0, 1))));
}
// Of a grid of flat values: the room's, the lowest window, what runs too unevenly (the room 1, windows 2), the windows'.
vec4 flat_fit(int surface, SheenGrid grid, ivec2 node) {
  int row = int(grid.place.x);
  vec4 even = sheen_value(ivec2(node.x, row + node.y), 0);
  float base = surface_coat(surface).base * field_light(surface, sheen_place(grid, vec2(node))).z / 3.141592653589793;
  vec2 allowed = uneven_flat * (even.x + even.z + base);
  vec2 uneven = flat_uneven(row, node, ivec2(grid.place.yz));
  return vec4(even.xy, (uneven.x > allowed.x ? 1.0 : 0.0) + (uneven.y > allowed.y ? 2.0 : 0.0), even.z);
}

// Of a grid of tilted facets: coefficients of power i + 1 along x and along y.
vec2 power_fit(int row, ivec2 node, int i) {
  vec2 sum = vec2(0.0);
  for (int j = 0; j < sheen_degree; j++) sum += fit[i * sheen_degree + j] * vec2(added(row, node, 1 + j), added(row, node, 1 + sheen_degree + j));
  return sum;
}
// Both polynomials whole at the mixed node: the mixed term is what they leave there.
float mixed_part(vec2 power, int i) { return (power.x + power.y) * pow(mixed_slope, float(i + 1)); }
vec4 mixed_fit(SheenGrid grid, ivec2 node, float at_mixed) {
  ivec2 nodes = ivec2(grid.place.yz);
  int row = int(grid.place.x);
  float uneven = max(max(uneven_at(row, node, nodes, 1), uneven_at(row, node, nodes, sheen_degree)),
                     max(uneven_at(row, node, nodes, sheen_degree + 1), uneven_at(row, node, nodes, 2 * sheen_degree)));
  return vec4((added(row, node, 1 + 2 * sheen_degree) - at_mixed) / (mixed_slope * mixed_slope), uneven, 0.0, 0.0);
}
