// Pixels that one face fills: luminance with relief and as if flat, cd/m2, by the sheen table; and what is left to the other passes.
#include "passes/pixels.glsl"

uniform bool by_kernels;         // every pixel, for checks
uniform bool only_covered;       // by compound: the rest counts for nothing

// What the table does not tell of a pixel's sheen, so that a pass makes it anew: nothing; windows' on the flat face; the room's there
// too; and what tilting adds besides.
const int anew_nothing = 0;
const int anew_windows = 1;
const int anew_flat = 2;
const int anew_tilted = 3;

struct Drawn {
  vec4 value;
  bool mixed;        // something else than one face is there
  bool hidden;       // the relief may hide part of a source
  int anew;
  bool by_kernels;   // nothing of it is by the table
};

Drawn draw_face(ivec2 pixel) {
  Drawn drawn;
  PixelIds ids = pixel_ids(pixel);
  int surface = plain_face(ids);
  drawn.value = vec4(0.0);
  drawn.mixed = surface < 0;
  drawn.hidden = false;
  drawn.anew = anew_nothing;
  drawn.by_kernels = false;
  if (surface < 0) return drawn;
  OnPlane meets = meet_plane(surface, vec2(pixel) + 0.5);
  Place place = place_of(surface, meets.p, eye);
  Facet facet = scene_relief(surface, meets.p, meets.side);
  if (only_covered && facet.cover <= 0.0) return drawn;
  drawn.by_kernels = by_kernels;
  if (by_kernels) return drawn;
  Tabled t = shade_face(place, field_light(surface, meets.p), facet, meets, 1.0, false);
  drawn.value = vec4(t.shaded.luminance, t.shaded.flat_luminance, ids.id, facet.cover);
  drawn.hidden = t.hidden;
  if (!t.windows_even) drawn.anew = anew_windows;
  if (!t.room_even) drawn.anew = anew_flat;
  if (!t.holds) drawn.anew = anew_tilted;
  // a draft lets small errors be
  if (draft && t.hidden) drawn.anew = anew_nothing;
  return drawn;
}
