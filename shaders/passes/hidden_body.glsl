// Pixels that one face fills and where the relief may hide part of a source: by the table of sheen, less what is hidden.
#include "passes/pixels.glsl"

vec4 draw_hidden(ivec2 pixel) {
  PixelIds ids = pixel_ids(pixel);
  int surface = plain_face(ids);
  if (surface < 0) return vec4(0.0);
  OnPlane meets = meet_plane(surface, vec2(pixel) + 0.5);
  Facet facet = scene_relief(surface, meets.p, meets.side);
  Shaded s = shade_by_table(place_of(surface, meets.p, eye), field_light(surface, meets.p), facet, true, false).shaded;
  return vec4(s.luminance, s.flat_luminance, ids.id, facet.cover);
}
