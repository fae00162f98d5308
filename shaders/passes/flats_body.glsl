// Pixels that one face fills and where the table of sheen does not hold for the flat face, but for what tilting adds: by the table,
// and the kernels for what it cannot tell.
#include "passes/pixels.glsl"

vec4 draw_flats(ivec2 pixel) {
  PixelIds ids = pixel_ids(pixel);
  int surface = plain_face(ids);
  if (surface < 0) return vec4(0.0);
  OnPlane meets = meet_plane(surface, vec2(pixel) + 0.5);
  Facet facet = scene_relief(surface, meets.p, meets.side);
  Shaded s = shade_by_table(place_of(surface, meets.p, eye), field_light(surface, meets.p), facet, false, true).shaded;
  return vec4(s.luminance, s.flat_luminance, ids.id, facet.cover);
}
