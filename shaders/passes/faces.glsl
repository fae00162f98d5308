// passes/faces_body.glsl as a fragment shader; the depth marks what the other passes have to draw: pixels with an edge or with something
// else than a face, those where the relief may hide a source, those whose sheen is made anew, for windows alone, for the flat face, or
// for the tilted facet too, and those that the kernels draw. One mark a pixel: what several passes would share is left to the kernels.
#include "passes/faces_body.glsl"

out vec4 result;

float mark_of(Drawn drawn) {
  if (drawn.mixed) return mixed_mark;
  if (drawn.by_kernels || (drawn.hidden && drawn.anew > anew_nothing)) return exact_mark;
  if (drawn.hidden) return hidden_mark;
  if (drawn.anew == anew_windows) return windows_mark;
  if (drawn.anew == anew_flat) return flats_mark;
  return drawn.anew == anew_tilted ? tilts_mark : done_mark;
}

void main() {
  Drawn drawn = draw_face(ivec2(gl_FragCoord.xy));
  result = drawn.value;
  gl_FragDepth = mark_of(drawn);
}
