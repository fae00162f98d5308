// Pixels that one face fills and where the table of sheen does not hold for what tilting the facet adds: what is to be added to their
// luminance, with relief and as if flat, so that all that the table gave becomes the kernels'. What the relief hides of windows is
// no part of the table (passes/hidden_body.glsl).
#include "passes/pixels.glsl"

// What the table gave at a slope.
float tabled_sheen(Place place, vec4 light, vec2 slope) {
  SheenFit fit = sheen_between(place.surface, place.p, slope, slope != vec2(0.0), place.coat.base * light.z / 3.141592653589793);
  return fit.room + fit.windows + fit.tilt;
}

// What one of several threads brings of what is amiss with a facet: its rays into the room, and the rest.
struct TiltShare {
  RoomRays room;
  float rest;
  float albedo;      // of the coat: the same for all
};
float amiss(TiltShare all) { return all.rest + sheen_of_rays(all.albedo, all.room); }
struct TiltShares {
  TiltShare facet;
  TiltShare flat_face;
};
// Thread `first` of `each`.
TiltShares tilt_shares(PlainPixel at, int first, int each) {
  Place place = place_of(at.surface, at.meets.p, eye);
  vec4 light = field_light(at.surface, at.meets.p);
  vec2 with = at.facet.slope;
  vec2 without = vec2(0.0);
#ifdef STIPPLE
  vec2 grain = grain_at(at.surface, at.meets, 1.0);
  with += grain;
  without = of_joints(at.facet) ? grain : with;
#endif
  TiltShares both;
  // one loop, so that the driver inlines the shading once
  for (int k = 0; k < 2; k++) {
    vec2 slope = k == 0 ? with : without;
    FacetAxes f = facet_axes(place, slope);
    TiltShare share;
    share.albedo = f.albedo;
    share.room = room_rays(place, f, first, each);
    share.rest = windows_luminance(place, f, 0.0, false, false, first, each);
    if (first == 0) share.rest -= tabled_sheen(place, light, slope);
    if (k == 0) both.facet = share;
    else both.flat_face = share;
  }
  return both;
}
