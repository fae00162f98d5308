// Pixels that one face fills and where the relief may hide part of a source: by the table of sheen, less what is hidden.
#include "passes/pixels.glsl"

vec4 draw_hidden(ivec2 pixel) {
  PlainPixel at = plain_pixel(pixel);
  if (at.surface < 0) return vec4(0.0);
  return drawn(at, shade_face(place_of(at.surface, at.meets.p, eye), field_light(at.surface, at.meets.p), at.facet, at.meets, 1.0, true).shaded);
}
