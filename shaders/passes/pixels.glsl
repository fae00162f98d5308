// What the passes that shade pixels share: where edges run, lamps' openings, and shading by the sheen table.
#include "passes/shading.glsl"
#include "passes/sheen_table.glsl"

uniform sampler2D corner_ids;
uniform float footprint;         // side of a pixel on the surface seen square-on, m
uniform float footprint_angle;   // side of a pixel, rad

struct PixelIds {
  float id;      // at the upper left corner
  bool edge;     // whether the corners see different things
};
PixelIds pixel_ids(ivec2 pixel) {
  PixelIds ids;
  ids.id = texelFetch(corner_ids, pixel, 0).x;
  ids.edge = ids.id != texelFetch(corner_ids, pixel + ivec2(1, 0), 0).x || ids.id != texelFetch(corner_ids, pixel + ivec2(0, 1), 0).x ||
             ids.id != texelFetch(corner_ids, pixel + ivec2(1, 1), 0).x;
  return ids;
}
// The face of an id that is one face all over and has a field; -1 for all else.
int plain_face(PixelIds ids) {
  int whole_id = int(ids.id);
  if (ids.edge || whole_id % 8 != 1) return -1;
  int surface = whole_id / 64 % 256 - 1;
  return has_field(surface) ? surface : -1;
}

// Where the ray of an image point meets a face's plane.
struct OnPlane {
  vec2 p;
  float side;    // of the pixel there, m
#ifdef STIPPLE
  vec2 right;    // the pixel's own sides as they lie on the face, m
  vec2 down;
#endif
};
#ifdef STIPPLE
uniform vec4 stipple_rows[48];   // as many as stipple_waves()
vec4 stipple_wave(int i) { return stipple_rows[i]; }
#include "kernels/stipple.glsl"

// What stipple tilts the face by, averaged over a share of a pixel.
vec2 grain_at(int surface, OnPlane at, float share) {
  vec2 slope = vec2(0.0);
  for (int which = 0; which < 3; which++) {
    vec2 s = surface_stipple(surface, which);
    if (s.x > 0.0) slope += stipple_slope(at.p, share * at.right, share * at.down, s.x, s.y);
  }
  return slope;
}
#endif
OnPlane meet_plane(int surface, vec2 at) {
  vec3 towards = corner + at.x * step_x + at.y * step_y;
  FaceFrame frame = surface_frame(surface);
  vec3 from = face_from_world(frame, eye);
  vec3 d = face_direction(frame, towards);
  float t = -from.z / min(d.z, -1.0e-9);
  OnPlane meets;
  meets.p = from.xy + t * d.xy;
#ifdef STIPPLE
  vec3 right = face_direction(frame, step_x);
  vec3 down = face_direction(frame, step_y);
  meets.right = t * (right.xy - right.z / min(d.z, -1.0e-9) * d.xy);
  meets.down = t * (down.xy - down.z / min(d.z, -1.0e-9) * d.xy);
#endif
  meets.side = surface == facing ? footprint : footprint_angle * t * length(towards);
  return meets;
}

struct Tabled {
  Shaded shaded;
  bool holds;    // whether the table stands for the kernels here: for what tilting adds
  bool room_even;     // for what the room adds on the flat face
  bool windows_even;  // and windows
  bool hidden;   // whether the relief might hide part of a source
};

uniform int each_ray;    // where the flat face is made anew: of the room's rays, so many make one do (64: the room's share holds)

// Shading by the table. Lamps and sun are exact on the tilted and lifted facet. `hides`: what the relief hides of them and of
// windows is taken off; else it is only told whether there might be any.
Tabled shade_by_table(Place place, vec4 light, Facet facet, bool hides) {
  Tabled out_;
  bool relief = facet.h != 0.0 || facet.slope.x != 0.0 || facet.slope.y != 0.0;
  SheenFit fit = sheen_between(place.surface, place.p, facet.slope, relief, place.coat.base * light.z / 3.141592653589793);
  float lowest = fit.lowest;
  float lift = lift_share(place.surface, place.p);
  int lamps = lamp_count();
  int facets = relief || (hides && facet.near) ? 2 : 1;
  float h = 0.0;
  vec2 slope = vec2(0.0);
  float sheen = fit.room + fit.windows;
  out_.shaded = even_shade(0.0);
  // tested at its end: a software rasteriser runs a body once more, masked, when the test before it fails
  int k = 0;
  while (true) {
    if (k == 1) {
      h = facet.h;
      slope = facet.slope;
      sheen += fit.tilt;
    }
    FacetAxes f = facet_axes(place, slope);
    float sum = smooth_base(f, light, lift * h, slope) + sheen;
    if (hides && k == 1) sum += window_hidden(place, f, h);
    Direct sun = sun_light(place, f, h, hides && k == 1);
    sum += sun.luminance;
    if (!hides && sun.luminance > 0.0) lowest = min(lowest, (sun.light.z - sun.radius) / max(length(sun.light.xy), 1.0e-6));
    int i = 0;
    if (lamps > 0) do {
      LampForm lamp = face_lamp(place.frame, i);
      LampView view = view_of_lamp(place, lamp, h);
      if (draft && !view.box) view.count = 1;
      Direct d = lamp_light(place, f, h, lamp, view, hides && k == 1);
      sum += d.luminance;
      if (!hides && d.luminance > 0.0) lowest = min(lowest, (d.light.z - d.radius) / max(length(d.light.xy), 1.0e-6));
      i++;
    } while (i < lamps);
    out_.shaded.luminance = sum;
    if (k == 0) out_.shaded.flat_luminance = sum;
    k++;
    if (k >= facets) break;
  }
  out_.holds = fit.tilt_good;
  out_.room_even = fit.room_good;
  out_.windows_even = fit.windows_good;
  out_.hidden = facet.near && lowest < 1.1 * place.steepest;
  return out_;
}

#ifdef STIPPLE
// A facet with stipple, and the face without its joints but with stipple.
Facet grained(Facet facet, vec2 grain) {
  facet.slope += grain;
  return facet;
}
Facet grain_alone(vec2 grain) {
  Facet facet = flat_facet();
  facet.slope = grain;
  return facet;
}
bool of_joints(Facet facet) { return facet.h != 0.0 || facet.slope != vec2(0.0) || facet.near; }
#endif

// By the table a face as it stands at a place: with stipple where pictures have it, which is no part of what is as if flat.
Tabled shade_face(Place place, vec4 light, Facet facet, OnPlane at, float share, bool hides) {
#ifdef STIPPLE
  vec2 grain = grain_at(place.surface, at, share);
  Tabled t = shade_by_table(place, light, grained(facet, grain), hides);
  if (grain == vec2(0.0)) return t;
  if (of_joints(facet)) {
    Tabled bare = shade_by_table(place, light, grain_alone(grain), false);
    t.shaded.flat_luminance = bare.shaded.luminance;
    t.holds = t.holds && bare.holds;
  } else {
    t.shaded.flat_luminance = t.shaded.luminance;
  }
  return t;
#else
  return shade_by_table(place, light, facet, hides);
#endif
}

// Of a lamp's opening: its intensity over its area as seen from the eye.
float lamp_face(int lamp, vec3 w) {
  FaceFrame plan = FaceFrame(vec3(0.0), vec3(1.0, 0.0, 0.0), vec3(0.0, 1.0, 0.0), vec3(0.0, 0.0, 1.0));
  LampForm l = face_lamp(plan, lamp);
  bool disc = l.sides == vec3(0.0);
  float area = disc ? 0.785398163397448 * l.size * l.size : l.sides.x * l.sides.y;
  return lamp_candela(l, -w) / (area * max(abs(dot(w, l.aim)), 0.02));
}

// Marks for the fragment passes that follow; src/draw/renderer.cpp has the same.
const float done_mark = 0.25;
const float mixed_mark = 0.5;
const float hidden_mark = 0.625;
const float windows_mark = 0.65625;
const float flats_mark = 0.6875;
const float tilts_mark = 0.71875;
const float exact_mark = 0.75;

// A pixel that one face fills, and what stands there. surface: -1 where none or several do; the rest is unset then.
struct PlainPixel { PixelIds ids; int surface; OnPlane meets; Facet facet; };
PlainPixel plain_pixel(ivec2 pixel) {
  PlainPixel at;
  at.ids = pixel_ids(pixel);
  at.surface = plain_face(at.ids);
  if (at.surface < 0) return at;
  at.meets = meet_plane(at.surface, vec2(pixel) + 0.5);
  at.facet = scene_relief(at.surface, at.meets.p, at.meets.side);
  return at;
}
vec4 drawn(PlainPixel at, Shaded s) { return vec4(s.luminance, s.flat_luminance, at.ids.id, at.facet.cover); }
