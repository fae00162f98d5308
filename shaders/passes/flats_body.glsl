// Pixels that one face fills and where the table of sheen does not hold for the flat face, but for what tilting adds: by the table,
// and the kernels for what it cannot tell.
#include "passes/pixels.glsl"

vec4 draw_flats(ivec2 pixel) {
  PlainPixel at = plain_pixel(pixel);
  if (at.surface < 0) return vec4(0.0);
  return drawn(at, shade_by_table(place_of(at.surface, at.meets.p, eye), field_light(at.surface, at.meets.p), at.facet, false, true).shaded);
}
