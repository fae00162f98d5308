// What windows and the room add in sheen to flat faces, on a coarse grid of the picture: it is the dearest part of
// shading and, away from the relief, varies slowly.
#include "passes/shading.glsl"

out vec4 result;

void main() {
  Seen seen = look_along(picture_ray((floor(gl_FragCoord.xy) - 1.0) * float(sheen_spacing)));
  result = vec4(-1.0, 0.0, 0.0, 0.0);
  if (seen.lamp >= 0 || seen.hit.kind != 1 || !has_field(seen.hit.surface)) return;
  Place place = place_of(seen.hit.surface, seen.hit.p, eye);
  if (place.eye.z <= 0.0) return;
  place.rise = 0.0;
  place.steepest = 0.0;
  result = vec4(id_of(seen), facet_sheen(place, facet_axes(place, vec2(0.0)), 0.0, false), 0.0, 0.0);
}
