// Pixels that one face fills: luminance with relief and as if flat, cd/m2, by the sheen table. The depth marks what the
// other passes have to draw: pixels with an edge or with something else than a face, and those that need the kernels.
#include "passes/pixels.glsl"

uniform bool by_kernels;         // every pixel, for checks
uniform bool only_covered;       // by compound: the rest counts for nothing
out vec4 result;

void main() {
  ivec2 pixel = ivec2(gl_FragCoord.xy);
  PixelIds ids = pixel_ids(pixel);
  int surface = plain_face(ids);
  result = vec4(0.0);
  gl_FragDepth = mixed_mark;
  if (surface < 0) return;
  OnPlane meets = meet_plane(surface, vec2(pixel) + 0.5);
  Place place = place_of(surface, meets.p, eye);
  Facet facet = scene_relief(surface, meets.p, meets.side);
  gl_FragDepth = done_mark;
  if (only_covered && facet.cover <= 0.0) return;
  Tabled t = shade_by_table(place, field_light(surface, meets.p), facet);
  result = vec4(t.shaded.luminance, t.shaded.flat_luminance, ids.id, facet.cover);
  gl_FragDepth = t.good && !by_kernels ? done_mark : exact_mark;
}
