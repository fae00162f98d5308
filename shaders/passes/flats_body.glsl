// Pixels that one face fills and where the table of sheen does not hold for the flat face, but for what tilting adds: what is to be
// added to their luminance, with relief and as if flat alike, so that the table's flat value becomes the kernels'.
#include "passes/pixels.glsl"

// What one of several threads brings.
struct FlatShare {
  RoomRays room;
  float windows;     // with what the table had for both taken off, by the first
  FacetAxes even;
};
// Thread `first` of `each`. No more than nothing where no face is.
FlatShare flat_share(ivec2 pixel, int first, int each) {
  FlatShare share;
  share.room = RoomRays(0.0, 0.0);
  share.windows = 0.0;
  int surface = plain_face(pixel_ids(pixel));
  if (surface < 0) return share;
  OnPlane meets = meet_plane(surface, vec2(pixel) + 0.5);
  Place place = place_of(surface, meets.p, eye);
  SheenFit fit = sheen_between(surface, meets.p, vec2(0.0), false, 0.0);
  share.even = facet_axes(place, vec2(0.0));
  if (!fit.room_good) share.room = room_rays(place, share.even, each_ray * first, each_ray * each);
  if (!fit.windows_good) share.windows = windows_luminance(place, share.even, 0.0, false, false, first, each);
  if (first == 0) share.windows -= (fit.room_good ? 0.0 : fit.room) + (fit.windows_good ? 0.0 : fit.windows);
  return share;
}
float flat_amiss(FlatShare all) { return all.windows + sheen_of_rays(all.even, all.room); }
