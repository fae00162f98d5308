// Pixels that one face fills and where the table of sheen does not hold for the flat face, but for what tilting adds: what is to be
// added to their luminance, with relief and as if flat alike, so that the table's flat value becomes the kernels'.
#include "passes/pixels.glsl"

float flat_amiss(ivec2 pixel) {
  int surface = plain_face(pixel_ids(pixel));
  if (surface < 0) return 0.0;
  OnPlane meets = meet_plane(surface, vec2(pixel) + 0.5);
  Place place = place_of(surface, meets.p, eye);
  SheenFit fit = sheen_between(surface, meets.p, vec2(0.0), false, 0.0);
  FacetAxes even = facet_axes(place, vec2(0.0));
  float amiss = 0.0;
  if (!fit.room_good) amiss += sheen_of_rays(even.albedo, room_rays(place, even, 0, each_ray)) - fit.room;
  if (!fit.windows_good) amiss += window_sheen(place, even, 0.0, false) - fit.windows;
  return amiss;
}
