// Pixels that one face fills and where the table of sheen does not hold for what tilting the facet adds: what is to be added to their
// luminance, with relief and as if flat, so that all that the table gave becomes the kernels'. What the relief hides of windows is
// no part of the table (passes/hidden_body.glsl).
#include "passes/pixels.glsl"

// What the table gave at a slope.
float tabled_sheen(Place place, vec4 light, vec2 slope) {
#ifdef STIPPLE
  SheenFit fit = sheen_between(place.surface, place.p, slope, slope != vec2(0.0), place.coat.base * light.z / 3.141592653589793);
#else
  SheenFit fit = sheen_between(place.surface, place.p, slope, false, 0.0);
#endif
  return fit.room + fit.windows + fit.tilt;
}

vec2 tilts_amiss(ivec2 pixel) {
  PlainPixel at = plain_pixel(pixel);
  if (at.surface < 0) return vec2(0.0);
  Place place = place_of(at.surface, at.meets.p, eye);
  vec4 light = field_light(at.surface, at.meets.p);
  vec2 with = at.facet.slope;
  vec2 without = vec2(0.0);
#ifdef STIPPLE
  vec2 grain = grain_at(at.surface, at.meets, 1.0);
  with += grain;
  without = of_joints(at.facet) ? grain : with;
#endif
  vec2 amiss = vec2(0.0);
  // one loop, so that the driver inlines the shading once
  for (int k = 0; k < 2; k++) {
    vec2 slope = k == 0 ? with : without;
    FacetAxes f = facet_axes(place, slope);
    float by = sheen_of_rays(f, room_rays(place, f, 0, 1)) + window_sheen(place, f, 0.0, false) - tabled_sheen(place, light, slope);
    if (k == 0) amiss.x = by;
    else amiss.y = by;
  }
  return amiss;
}
