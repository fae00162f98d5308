// passes/sheen_nodes_body.glsl as a fragment shader: one layer a draw.
#include "passes/sheen_nodes_body.glsl"

uniform int node_surface;
uniform bool node_slopes;    // the grid of tilted facets
uniform ivec2 node_corner;   // of the viewport, texels
uniform vec2 node_slope;     // over the largest
uniform sampler2D sheen_wanted;
out vec4 result;

void main() {
  result = vec4(0.0);
  ivec2 node = ivec2(gl_FragCoord.xy) - node_corner;
  if (texelFetch(sheen_wanted, ivec2(node.x, node_corner.y + node.y), 0).x < 0.5) return;
  result = sheen_at_node(node_surface, node_slopes, node, node_slope);
}
