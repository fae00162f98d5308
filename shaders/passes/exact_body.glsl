// Pixels that one face fills and that the faces' pass leaves: where the table of sheen does not hold, by the kernels alone; where
// it does, but the relief may hide part of a source, by the table and by what is hidden.
#include "passes/pixels.glsl"

uniform bool by_kernels;         // every pixel, for checks

vec4 draw_exactly(ivec2 pixel) {
  PixelIds ids = pixel_ids(pixel);
  int surface = plain_face(ids);
  if (surface < 0) return vec4(0.0);
  OnPlane meets = meet_plane(surface, vec2(pixel) + 0.5);
  Place place = place_of(surface, meets.p, eye);
  Facet facet = scene_relief(surface, meets.p, meets.side);
  vec4 light = field_light(surface, meets.p);
  Tabled t;
  t.holds = false;
  if (!by_kernels) t = shade_by_table(place, light, facet, true);
  if (!t.holds) t.shaded = shade_facet(place, light, facet);
  return vec4(t.shaded.luminance, t.shaded.flat_luminance, ids.id, facet.cover);
}
