// From values at nodes of slope to the coefficients of polynomials without a constant term. Layer 0 keeps the flat value,
// the lowest window, the mixed term, and how much what tilting adds bends from node to node; layers 1 and 3 the powers of
// the slope along x, 2 and 4 of that along y.
uniform sampler2D sheen_values;
uniform int sheen_layer;
uniform int sheen_degree;
uniform ivec2 fit_corner;    // of the viewport: layer's and face's first texel
uniform ivec2 fit_nodes;     // of the face
uniform int fit_of;          // the layer
uniform float fit[64];       // coefficient i of node j at i * degree + j
uniform float mixed_slope;   // of the node along both, over the largest
out vec4 result;

float value_at(ivec2 node, int layer) {
  return texelFetch(sheen_values, ivec2(node.x + layer * sheen_layer, fit_corner.y + node.y), 0).x;
}
float added(ivec2 node, int layer) { return value_at(node, layer) - value_at(node, 0); }

// Largest second difference of what a slope adds, among a node's neighbours. In the cells at the face's edge it grows
// without end, since the next face comes near: there the last inner node's stands for more.
float bend_of(ivec2 node, int layer) {
  ivec2 inner = clamp(node, ivec2(1), fit_nodes - 2);
  float here = 2.0 * added(inner, layer);
  return (inner == node ? 1.0 : 8.0) * max(abs(added(inner - ivec2(1, 0), layer) + added(inner + ivec2(1, 0), layer) - here),
             abs(added(inner - ivec2(0, 1), layer) + added(inner + ivec2(0, 1), layer) - here));
}

void main() {
  ivec2 node = ivec2(gl_FragCoord.xy) - fit_corner;
  vec4 even = texelFetch(sheen_values, ivec2(node.x, fit_corner.y + node.y), 0);
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
  float most = max(max(bend_of(node, 1), bend_of(node, sheen_degree)), max(bend_of(node, sheen_degree + 1), bend_of(node, 2 * sheen_degree)));
  float mixed = added(node, 1 + 2 * sheen_degree) - at_mixed;
  result = vec4(even.x, even.y, mixed / (mixed_slope * mixed_slope), most);
}
