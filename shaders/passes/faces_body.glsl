// Pixels that one face fills: luminance with relief and as if flat, cd/m2, by the sheen table. The mark tells what the other
// passes have to draw: pixels with an edge or with something else than a face, those where the relief may hide a source, those where
// the table does not hold for the flat face (or for windows' share of it alone), and those that need the kernels for all.
#include "passes/pixels.glsl"

uniform bool by_kernels;         // every pixel, for checks
uniform bool only_covered;       // by compound: the rest counts for nothing

struct Drawn {
  vec4 value;
  float mark;
};

Drawn draw_face(ivec2 pixel) {
  Drawn drawn;
  PixelIds ids = pixel_ids(pixel);
  int surface = plain_face(ids);
  drawn.value = vec4(0.0);
  drawn.mark = mixed_mark;
  if (surface < 0) return drawn;
  OnPlane meets = meet_plane(surface, vec2(pixel) + 0.5);
  Place place = place_of(surface, meets.p, eye);
  Facet facet = scene_relief(surface, meets.p, meets.side);
  drawn.mark = done_mark;
  if (only_covered && facet.cover <= 0.0) return drawn;
  Tabled t = shade_face(place, field_light(surface, meets.p), facet, meets, 1.0, false);
  drawn.value = vec4(t.shaded.luminance, t.shaded.flat_luminance, ids.id, facet.cover);
  bool even = t.room_even && t.windows_even;
  if (!even) drawn.mark = t.room_even ? windows_mark : flats_mark;
  if (t.hidden) drawn.mark = hidden_mark;
  if (by_kernels || !t.holds || (t.hidden && !even && !draft)) drawn.mark = exact_mark;
  return drawn;
}
