// Pixels that one face fills and for which the table of sheen does not hold, by the kernels alone.
#include "passes/pixels.glsl"

vec4 draw_exactly(ivec2 pixel) {
  PlainPixel at = plain_pixel(pixel);
  if (at.surface < 0) return vec4(0.0);
  return drawn(at, shade_facet(place_of(at.surface, at.meets.p, eye), field_light(at.surface, at.meets.p), at.facet));
}
