// passes/sheen_nodes_body.glsl as a fragment shader: one layer a draw.
#include "passes/sheen_nodes_body.glsl"

uniform ivec2 node_corner;   // of the viewport, texels
uniform vec2 node_slope;
out vec4 result;

void main() { result = sheen_at_node(ivec2(gl_FragCoord.xy) - node_corner, node_slope); }
