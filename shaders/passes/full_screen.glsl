// One triangle that covers the target, at one depth; no attributes.
uniform float depth;   // 0 to 1, of the window
void main() {
  vec2 corner = vec2(gl_VertexID == 1 ? 3.0 : -1.0, gl_VertexID == 2 ? 3.0 : -1.0);
  gl_Position = vec4(corner, 2.0 * depth - 1.0, 1.0);
}
