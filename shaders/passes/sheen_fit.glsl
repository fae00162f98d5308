// Makes the table of sheen of values at nodes. Of a grid of tilted facets: the coefficients of polynomials in the slope
// without a constant term. Layer 0 keeps the mixed term and how unevenly what tilting adds runs from node to node; layers 1
// and 3 the powers of the slope along x, 2 and 4 of that along y.
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

uniform sampler2D sheen_values;
uniform int sheen_layer;
uniform int sheen_degree;
uniform int node_surface;
uniform bool node_slopes;    // the grid of tilted facets
uniform ivec2 fit_corner;    // of the viewport: layer's and face's first texel
uniform int fit_of;          // the layer
uniform float fit[64];       // coefficient i of node j at i * degree + j
uniform float mixed_slope;   // of the node along both, over the largest
uniform float uneven_flat;   // third difference of the flat value allowed, of the face's luminance
out vec4 result;

float value_at(ivec2 node, int layer) {
  return texelFetch(sheen_values, ivec2(node.x + layer * sheen_layer, fit_corner.y + node.y), 0).x;
}
float added(ivec2 node, int layer) { return layer > 0 ? value_at(node, layer) - value_at(node, 0) : value_at(node, 0); }

float third_difference(ivec2 node, ivec2 way, int layer) {
  return abs(added(node + 3 * way, layer) - added(node, layer) + 3.0 * (added(node + way, layer) - added(node + 2 * way, layer)));
}
// Largest third difference near a node of what a slope adds, or of the flat value: interpolation is exact where there is
// none, and kinks show in one of two neighbouring cells.
float uneven_at(ivec2 node, ivec2 nodes, int layer) {
  ivec2 here = clamp(node - 1, ivec2(0), nodes - 4);
  ivec2 before = clamp(node - 2, ivec2(0), nodes - 4);
  return max(max(third_difference(ivec2(here.x, node.y), ivec2(1, 0), layer), third_difference(ivec2(before.x, node.y), ivec2(1, 0), layer)),
             max(third_difference(ivec2(node.x, here.y), ivec2(0, 1), layer), third_difference(ivec2(node.x, before.y), ivec2(0, 1), layer)));
}

// Of a grid of flat values: the value, the lowest window, whether the value runs too unevenly.
vec4 flat_fit(SheenGrid grid, ivec2 node) {
  vec4 even = texelFetch(sheen_values, ivec2(node.x, fit_corner.y + node.y), 0);
  float base = surface_coat(node_surface).base * field_light(node_surface, sheen_place(grid, vec2(node))).z / 3.141592653589793;
  return vec4(even.x, even.y, uneven_at(node, ivec2(grid.place.yz), 0) > uneven_flat * (even.x + base) ? 1.0 : 0.0, 0.0);
}

void main() {
  ivec2 node = ivec2(gl_FragCoord.xy) - fit_corner;
  SheenGrid grid = sheen_grid(node_surface, node_slopes);
  if (!node_slopes) {
    result = flat_fit(grid, node);
    return;
  }
  // both polynomials whole: the mixed term is what they leave at its node
  float at_mixed = 0.0;
  result = vec4(0.0);
  for (int i = 0; i < sheen_degree; i++) {
    float x = 0.0;
    float y = 0.0;
    for (int j = 0; j < sheen_degree; j++) {
      float share = fit[i * sheen_degree + j];
      x += share * added(node, 1 + j);
      y += share * added(node, 1 + sheen_degree + j);
    }
    at_mixed += (x + y) * pow(mixed_slope, float(i + 1));
    if (i / 4 == (fit_of - 1) / 2) result[i - i / 4 * 4] = fit_of == 1 || fit_of == 3 ? x : y;
  }
  if (fit_of > 0) return;
  ivec2 nodes = ivec2(grid.place.yz);
  float uneven = max(max(uneven_at(node, nodes, 1), uneven_at(node, nodes, sheen_degree)),
                     max(uneven_at(node, nodes, sheen_degree + 1), uneven_at(node, nodes, 2 * sheen_degree)));
  result = vec4((added(node, 1 + 2 * sheen_degree) - at_mixed) / (mixed_slope * mixed_slope), uneven, 0.0, 0.0);
}
