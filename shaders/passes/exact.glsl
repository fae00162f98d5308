// Pixels that one face fills, by the kernels alone.
#include "passes/pixels.glsl"

out vec4 result;

void main() {
  ivec2 pixel = ivec2(gl_FragCoord.xy);
  PixelIds ids = pixel_ids(pixel);
  int surface = plain_face(ids);
  result = vec4(0.0);
  if (surface < 0) return;
  OnPlane meets = meet_plane(surface, vec2(pixel) + 0.5);
  Facet facet = scene_relief(surface, meets.p, meets.side);
  Shaded s = shade_facet(place_of(surface, meets.p, eye), field_light(surface, meets.p), facet);
  result = vec4(s.luminance, s.flat_luminance, ids.id, facet.cover);
}
