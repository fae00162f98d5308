// Pixels that one face fills and for which the table of sheen does not hold, by the kernels alone.
#include "passes/pixels.glsl"

// What thread `first` of `each` brings of a pixel's luminance.
ShadedShare exact_share(PlainPixel at, int first, int each) {
  Place place = place_of(at.surface, at.meets.p, eye);
  vec4 light = field_light(at.surface, at.meets.p);
#ifdef STIPPLE
  vec2 grain = grain_at(at.surface, at.meets, 1.0);
  ShadedShare both = shade_share(place, light, grained(at.facet, grain), first, each);
  both.flat_face = both.facet;
  if (of_joints(at.facet)) both.flat_face = shade_share(place, light, grain_alone(grain), first, each).facet;
  return both;
#else
  return shade_share(place, light, at.facet, first, each);
#endif
}
