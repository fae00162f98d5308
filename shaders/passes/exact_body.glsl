// Pixels that one face fills, by the kernels alone.
#include "passes/pixels.glsl"

vec4 draw_exactly(ivec2 pixel) {
  PlainPixel at = plain_pixel(pixel);
  if (at.surface < 0) return vec4(0.0);
  Place place = place_of(at.surface, at.meets.p, eye);
  vec4 light = field_light(at.surface, at.meets.p);
#ifdef STIPPLE
  vec2 grain = grain_at(at.surface, at.meets, 1.0);
  Shaded shaded = shade_facet(place, light, grained(at.facet, grain));
  shaded.flat_luminance = of_joints(at.facet) ? shade_facet(place, light, grain_alone(grain)).luminance : shaded.luminance;
  return drawn(at, shaded);
#else
  return drawn(at, shade_facet(place, light, at.facet));
#endif
}
