// Luminance of one point of a painted face, with its relief and as if flat. (Over 500 lines: lamps, sun, windows and
// faces share one Place and FacetAxes, and whoever shades needs them all.)
//
// Needs maths, sky, glass, sun, lamp, distribution, field, window, sheen, relief, scene and trace before it. Everything is
// worked in the face's frame, so that a height of 0.05 mm is never added to a coordinate of 6 m.
//   smooth light (windows and bounce):  E = (E_n - slope . E_t - h div) / sqrt(1 + slope^2)     (Gershun 1936)
//   lamps and sun: exact at the lifted point and the tilted facet, cut by the relief's own horizon
//   base under the coat: rho/pi (1 - E(mu_i)) (1 - E(mu_o)) / (1 - mean E), E the coat's albedo; even light counts
//     with the mean over its directions, a window's excess over the room's mean radiance with its own
//   sheen: lamps and sun as directions; windows by the exact share of mirroring microfacets (slope_share) over
//     parts of the glass; the room's faces by 32 fixed nodes of each lobe, normalised so that even light from all
//     round gives exactly E(mu_o)
// Flat and tilted facets use the same nodes, so that even light never raises contrast.

struct Shaded {
  float luminance;
  float flat_luminance;
};

// What stays the same for a point however its facet is tilted.
struct Place {
  int surface;
  FaceFrame frame;
  Coat coat;
  vec2 p;
  vec3 world;
  vec3 eye;          // unit, face frame
  float eye_share;   // grazing_share of the eye
  float steepest;    // slope anywhere on the face's relief
  float rise;        // range of its heights, m
};

// The same face and eye at another point.
KERNEL Place moved_to(Place a, vec2 p, vec3 eye_world) {
  Place b = a;
  b.p = p;
  b.world = world_from_face(a.frame, vec3(p.x, p.y, 0.0));
  b.eye = normalize(face_direction(a.frame, eye_world - b.world));
  b.eye_share = grazing_share(b.eye.z);
  return b;
}

KERNEL Place place_of(int surface, vec2 p, vec3 eye_world) {
  Place a;
  a.surface = surface;
  a.frame = surface_frame(surface);
  a.coat = surface_coat(surface);
  vec4 joints = surface_at(surface, 11);
  a.steepest = joints.z;
  a.rise = joints.w;
  return moved_to(a, p, eye_world);
}

// Axes of a tilted facet in the face's frame.
struct FacetAxes {
  vec3 x;
  vec3 y;
  vec3 n;
  vec3 eye;          // in these axes
  float tilt;        // 1/sqrt(1 + slope^2)
  float base_out;    // rho/pi (1 - E(mu_o)) of the base
  float albedo;      // E(mu_o)
};
KERNEL vec3 in_facet(FacetAxes f, vec3 w) { return vec3(dot(w, f.x), dot(w, f.y), dot(w, f.n)); }

KERNEL FacetAxes facet_axes(Place a, vec2 slope) {
  FacetAxes f;
  f.tilt = 1.0 / sqrt(1.0 + dot(slope, slope));
  f.n = f.tilt * vec3(-slope.x, -slope.y, 1.0);
  f.x = vec3(1.0, 0.0, slope.x) / sqrt(1.0 + slope.x * slope.x);
  f.y = cross(f.n, f.x);
  f.eye = in_facet(f, a.eye);
  f.albedo = coat_albedo(a.coat, f.eye.z, a.eye_share);
  f.base_out = a.coat.base / 3.141592653589793 * (1.0 - f.albedo);
  return f;
}

// Share that the base sends back of light from a direction, against even light.
KERNEL float base_share(Place a, float mu_facet, float mu_flat) {
  return (1.0 - coat_albedo(a.coat, mu_facet, grazing_share(mu_flat))) / (1.0 - a.coat.mean_albedo);
}

// f_r of both lobes, blended by the flat wall's elevations.
KERNEL float coat_reflection(Place a, FacetAxes f, vec3 light, float mu_flat, float radius) {
  float w = grazing_weight(grazing_share(mu_flat), a.eye_share);
  float sum = 0.0;
  if (w < 1.0) sum += (1.0 - w) * ggx_reflection(light, f.eye, widened(a.coat.alpha60, radius), a.coat.index);
  if (w > 0.0) sum += w * ggx_reflection(light, f.eye, widened(a.coat.alpha85, radius), a.coat.index);
  return sum;
}

// Luminance per lux on the facet from a direction (light: unit, face frame).
KERNEL float reflected(Place a, FacetAxes f, vec3 light, float mu_facet, float radius) {
  return f.base_out * base_share(a, mu_facet, light.z) + coat_reflection(a, f, in_facet(f, light), light.z, radius);
}

// Tangent of the elevation of the relief's skyline towards a direction, from height h at p. `towards` is a unit
// vector in the face, `slope` what the source itself stands at: nothing further than rise/slope can hide it.
KERNEL float horizon_slope(Place a, vec2 towards, float h, float slope) {
  float reach = a.rise / max(slope, 0.005);
  float highest = -1.0;
  int k = 1;
  do {
    float t = reach * float(k) / 16.0;
    highest = max(highest, (scene_height(a.surface, a.p + t * towards) - h) / t);
    k++;
  } while (k <= 16);
  return highest;
}

// Share of a source of angular radius `radius` that the relief leaves in sight of the point.
KERNEL float unhidden(Place a, vec3 light, float h, float radius) {
  float across = sqrt(light.x * light.x + light.y * light.y);
  if (light.z - radius >= a.steepest * across) return 1.0;
  vec2 towards = vec2(light.x, light.y) / across;
  float edge = horizon_slope(a, towards, h, max(light.z - radius, 0.0) / across);
  return disc_share((atan(light.z, across) - atan(edge)) / max(radius, 1.0e-5));
}

// --- lamps and sun ---------------------------------------------------------------------------------------------

// Lamp i in the axes of a face.
KERNEL LampForm face_lamp(FaceFrame f, int i) {
  vec4 place = lamp_at(i, 0);
  vec4 aiming = lamp_at(i, 1);
  vec4 strength = lamp_at(i, 2);
  vec3 aim = first_three(aiming);
  vec3 x = first_three(lamp_at(i, 3));
  LampForm l;
  l.at = face_from_world(f, first_three(place));
  l.aim = face_direction(f, aim);
  l.x = face_direction(f, x);
  l.y = face_direction(f, cross(x, aim));
  l.sides = first_three(lamp_at(i, 4));
  l.size = place.w;
  l.peak = strength.x;
  l.exponent = aiming.w;
  l.table = whole(strength.y);
#ifdef ONLY_DISCS
  l.sides = vec3(0.0, 0.0, 0.0);
#endif
  return l;
}

// What one part of a lamp or the sun puts on a facet before the relief hides any of it, and where it stands.
struct Direct {
  float luminance;
  vec3 light;        // unit, face frame
  float radius;      // rad, in elevation
};

KERNEL Direct lamp_direct(Place a, FacetAxes f, LampForm l, LampPart part) {
  Direct d;
  d.luminance = 0.0;
  d.light = vec3(0.0, 0.0, 1.0);
  d.radius = part.rise;
  float distance_to = length(part.to);
  if (distance_to < 1.0e-6) return d;
  d.light = part.to / distance_to;
  float lux = dot(lamp_part_light(l, part), f.n);
  // below the wall's own plane there is nothing but the wall
  if (lux > 0.0 && part.to.z > 0.0) d.luminance = lux * reflected(a, f, d.light, dot(d.light, f.n), part.radius);
  return d;
}

// Illuminance square to the sun's beam, lx, that the windows let through to a point lifted by h, relief not looked at.
KERNEL float sun_through_windows(Place a, vec3 sun, float direct_normal, float h) {
  float sum = 0.0;
  int windows = window_count();
  if (windows < 1) return sum;
  int i = 0;
  do {
    vec4 about = window_at(i, 0);
    vec4 box = window_at(i, 1);
    vec4 glass = window_at(i, 2);
    FaceFrame wall = surface_frame(whole(about.x));
    vec3 d = face_direction(wall, sun);
    if (d.z < 0.0) {
      // the lift is moved along with the frame, not added to the coordinate
      vec3 p = face_from_world(wall, a.world) + h * face_direction(wall, a.frame.n);
      float share = shaded_sun_share(p, d, vec2(box.x, box.y), vec2(box.z, box.w),
                                     vec2(box.x + about.z, box.y + about.z), vec2(box.z - about.z, box.w - about.z),
                                     about.y, sun_radius(), window_shades(i));
      if (share > 0.0) {
        float run = max(p.z, 0.0) / -d.z;
        if (clear_between(a.world, a.world + run * sun)) {
          sum += share * glass_transmittance(-d.z, glass.x, glass.y, glass.z);
        }
      }
    }
    i++;
  } while (i < windows);
  return direct_normal * sum;
}

KERNEL Direct sun_direct(Place a, FacetAxes f, float h) {
  vec4 about = scene_header(3);
  vec3 sun = first_three(about);
  Direct d;
  d.luminance = 0.0;
  d.light = face_direction(a.frame, sun);
  d.radius = sun_radius();
  if (about.w <= 0.0 || d.light.z <= -d.radius) return d;
  float mu = clamp_cosine(dot(d.light, f.n));
  if (mu <= -d.radius) return d;
  float beam = sun_through_windows(a, sun, about.w, h);
  if (beam <= 0.0) return d;
  // the wall's own plane hides part of the disc near its horizon, the facet's plane the rest
  float lux = beam * disc_terminator(asin(mu), d.radius) * disc_share(d.light.z / d.radius);
  d.luminance = lux * reflected(a, f, d.light, max(mu, 1.0e-4), d.radius);
  return d;
}

// What the sun adds on a facet lifted by h, and where it stands; `relief`: less what the relief hides of it. Apart from the lamps: a
// software rasteriser runs either arm of a choice for all.
KERNEL Direct sun_light(Place a, FacetAxes f, float h, bool relief) {
  Direct d = sun_direct(a, f, h);
  if (relief && d.luminance > 0.0) d.luminance *= unhidden(a, d.light, h, d.radius);
  return d;
}
// A lamp as a point lifted by h sees it, in the face's axes.
KERNEL LampView view_of_lamp(Place a, LampForm lamp, float h) { return lamp_view(lamp, vec3(a.p.x, a.p.y, h), vec3(0.0, 0.0, 1.0)); }
// What one lamp adds, and where its lowest part stands. Of a disc a corner of the room hides as much as of its middle, and so does
// the relief, if it is asked for; a box is looked at part by part.
KERNEL Direct lamp_light(Place a, FacetAxes f, float h, LampForm lamp, LampView view, bool relief) {
  vec3 p = vec3(a.p.x, a.p.y, h);
  Direct all;
  all.luminance = 0.0;
  all.light = vec3(0.0, 0.0, 1.0);
  all.radius = 0.0;
  float lowest = 1.0e30;
  float seen = 1.0;
  int k = 0;
  while (true) {
    LampPart part = lamp_part(lamp, view, k);
    Direct d = lamp_direct(a, f, lamp, part);
    if (k == 0 || view.box) {
      seen = 0.0;
      if (clear_between(a.world, world_from_face(a.frame, p + part.to))) seen = 1.0;
    }
    if (relief && seen > 0.0 && (view.box ? d.luminance > 0.0 : k == 0)) {
      float left = unhidden(a, d.light, h, d.radius);
      if (view.box) d.luminance *= left;
      else seen = left;
    }
    all.luminance += seen * d.luminance;
    float height = d.light.z - d.radius;
    if (k == 0 || (view.box && d.luminance > 0.0 && height < lowest)) {
      lowest = height;
      all.light = d.light;
      all.radius = d.radius;
    }
    k++;
    if (k >= view.count || (seen <= 0.0 && !view.box)) break;
  }
  return all;
}
// Of the sun (source -1) or a lamp, which is given in the face's axes.
KERNEL Direct formed_light(Place a, FacetAxes f, float h, int source, LampForm lamp, bool relief) {
  if (source < 0) return sun_light(a, f, h, relief);
  return lamp_light(a, f, h, lamp, view_of_lamp(a, lamp, h), relief);
}
KERNEL float source_luminance(Place a, FacetAxes f, float h, int source) {
  LampForm lamp = no_lamp();
  if (source >= 0) lamp = face_lamp(a.frame, source);
  return formed_light(a, f, h, source, lamp, a.rise > 0.0).luminance;
}
KERNEL float direct_luminance(Place a, FacetAxes f, float h) {
  bool relief = a.rise > 0.0;
  float sum = sun_light(a, f, h, relief).luminance;
  int lamps = lamp_count();
  if (lamps < 1) return sum;
  int i = 0;
  do {
    LampForm lamp = face_lamp(a.frame, i);
    sum += lamp_light(a, f, h, lamp, view_of_lamp(a, lamp, h), relief).luminance;
    i++;
  } while (i < lamps);
  return sum;
}

// Light vector of lamps and sun on the flat face (E_x, E_y, E_n), lx.
KERNEL vec3 direct_light(Place a) {
  vec3 sum = vec3(0.0, 0.0, 0.0);
  int lamps = lamp_count();
  for (int i = 0; i < lamps; i++) {
    LampForm l = face_lamp(a.frame, i);
    LampView view = lamp_view(l, vec3(a.p.x, a.p.y, 0.0), vec3(0.0, 0.0, 1.0));
    bool seen = true;
    for (int k = 0; k < view.count; k++) {
      LampPart part = lamp_part(l, view, k);
      if (k == 0 || view.box) seen = clear_between(a.world, world_from_face(a.frame, vec3(a.p.x, a.p.y, 0.0) + part.to));
      if (seen && part.to.z > 0.0) sum += lamp_part_light(l, part);
    }
  }
  vec4 about = scene_header(3);
  if (about.w <= 0.0) return sum;
  vec3 light = face_direction(a.frame, first_three(about));
  float radius = sun_radius();
  if (light.z <= -radius) return sum;
  float beam = sun_through_windows(a, first_three(about), about.w, 0.0);
  return sum + beam * vec3(light.x, light.y, disc_terminator(asin(clamp_cosine(light.z)), radius));
}

// --- windows and the room's faces ----------------------------------------------------------------------------

// Visible part of a window's glass from a point: opening and glass cut, in the glass plane.
struct GlassView {
  bool visible;
  int window;
  bool level;        // in the ceiling

  FaceFrame wall;
  vec3 p;            // the point in the wall's frame
  float reveal;
  vec2 lo;
  vec2 hi;
};
KERNEL GlassView glass_view(int window, vec3 world) {
  GlassView v;
  vec4 about = window_at(window, 0);
  vec4 box = window_at(window, 1);
  v.window = window;
  v.wall = surface_frame(whole(about.x));
  v.level = abs(v.wall.n.z) > 0.5;
#ifdef NO_ROOF_WINDOWS
  v.level = false;
#endif
  v.p = face_from_world(v.wall, world);
  v.reveal = about.y;
  v.lo = vec2(box.x + about.z, box.y + about.z);
  v.hi = vec2(box.z - about.z, box.w - about.z);
  v.visible = false;
  if (v.p.z < 1.0e-4) return v;
  float grow = (v.p.z + about.y) / v.p.z;
  v.lo = max(v.lo, vec2(v.p.x + (box.x - v.p.x) * grow, v.p.y + (box.y - v.p.y) * grow));
  v.hi = min(v.hi, vec2(v.p.x + (box.z - v.p.x) * grow, v.p.y + (box.w - v.p.y) * grow));
  v.visible = v.lo.x < v.hi.x && v.lo.y < v.hi.y;
  return v;
}

// One small part of the glass: seen corners and middle (plan axes, from the point), and how bright it is.
struct GlassPart {
  vec3 a;
  vec3 b;
  vec3 c;
  vec3 d;
  vec3 middle;       // unit
  float spread;      // solid angle, sr
  Beyond beyond;     // what is seen through its middle
  float excess;      // radiance over the room's face that would stand there, cd/m2
  float luminance;
};
KERNEL vec3 glass_corner(GlassView v, float x, float y) {
  return world_direction(v.wall, vec3(x - v.p.x, y - v.p.y, -v.reveal - v.p.z));
}
KERNEL GlassPart glass_part(GlassView v, Outside outside, vec4 glass, float fill, float x0, float x1, float y0, float y1) {
  GlassPart g;
  g.a = normalize(glass_corner(v, x0, y0));
  g.b = normalize(glass_corner(v, x1, y0));
  g.c = normalize(glass_corner(v, x1, y1));
  g.d = normalize(glass_corner(v, x0, y1));
  vec3 m = glass_corner(v, 0.5 * (x0 + x1), 0.5 * (y0 + y1));
  float l = length(m);
  g.middle = m / l;
  float away = v.p.z + v.reveal;
  g.spread = (x1 - x0) * (y1 - y0) * away / (l * l * l);
  g.beyond = beyond_glass(v.window, vec2(0.5 * (x0 + x1), 0.5 * (y0 + y1)), face_direction(v.wall, g.middle), g.middle);
  g.luminance = beyond_luminance(outside, v.window, g.beyond, g.middle) * glass_transmittance(away / l, glass.x, glass.y, glass.z) +
                window_at(v.window, 4).z / 3.141592653589793;
  g.excess = g.luminance - fill;
  return g;
}

// Sheen of one part of the glass per unit of radiance.
KERNEL float part_sheen(Place a, FacetAxes f, GlassPart g) {
  vec3 light = in_facet(f, face_direction(a.frame, g.middle));
  if (light.z <= 0.0 || f.eye.z <= 0.0) return 0.0;
  vec3 la = in_facet(f, face_direction(a.frame, g.a));
  vec3 lb = in_facet(f, face_direction(a.frame, g.b));
  vec3 lc = in_facet(f, face_direction(a.frame, g.c));
  vec3 ld = in_facet(f, face_direction(a.frame, g.d));
  float w = grazing_weight(grazing_share(dot(g.middle, a.frame.n)), a.eye_share);
  float sum = 0.0;
  if (w < 1.0) {
    float alpha = a.coat.alpha60;
    float share = slope_share(mirror_slope(la, f.eye, alpha), mirror_slope(lb, f.eye, alpha),
                              mirror_slope(lc, f.eye, alpha), mirror_slope(ld, f.eye, alpha));
    sum += (1.0 - w) * share * share_factor(light, f.eye, alpha, a.coat.index);
  }
  if (w > 0.0) {
    float alpha = a.coat.alpha85;
    float share = slope_share(mirror_slope(la, f.eye, alpha), mirror_slope(lb, f.eye, alpha),
                              mirror_slope(lc, f.eye, alpha), mirror_slope(ld, f.eye, alpha));
    sum += w * share * share_factor(light, f.eye, alpha, a.coat.index);
  }
  return sum;
}

// What one part adds: its excess in the sheen, in the base the difference between its own share and even light's,
// and, where the relief reaches up to it, what is hidden or turned away.
KERNEL float part_luminance(Place a, FacetAxes f, float h, bool reaching, GlassPart g) {
  vec3 light = face_direction(a.frame, g.middle);
  float mu = dot(light, f.n);
  float lux = g.spread * max(mu, 0.0);
  float seen = 1.0;
  float clipped = 0.0;
  if (reaching) {
    seen = unhidden(a, light, h, 0.5 * sqrt(g.spread));
    clipped = g.luminance * (seen * lux - g.spread * mu);
  }
  float share = base_share(a, max(mu, 1.0e-4), light.z);
  return seen * g.excess * part_sheen(a, f, g) +
         f.base_out * ((g.luminance * seen - mean_room_radiance()) * lux * (share - 1.0) + clipped);
}

// Of that, what is so because the relief reaches up to the part: part_luminance reaching, less the same not reaching.
KERNEL float part_hidden(Place a, FacetAxes f, float h, GlassPart g) {
  vec3 light = face_direction(a.frame, g.middle);
  float mu = dot(light, f.n);
  float lux = g.spread * max(mu, 0.0);
  float seen = unhidden(a, light, h, 0.5 * sqrt(g.spread));
  if (seen >= 1.0 && mu >= 0.0) return 0.0;
  float share = base_share(a, max(mu, 1.0e-4), light.z);
  return (seen - 1.0) * g.excess * part_sheen(a, f, g) +
         f.base_out * g.luminance * ((seen - 1.0) * lux * (share - 1.0) + seen * lux - g.spread * mu);
}
// Whether a part, by its middle (face frame, any length) and solid angle, stands clear of all relief and of the facet's back.
KERNEL bool part_clear(Place a, FacetAxes f, vec3 middle, float spread) {
  float l = length(middle);
  return middle.z / l - 0.5 * sqrt(spread) >= a.steepest * length(vec2(middle.x, middle.y)) / l && dot(middle, f.n) >= 0.0;
}

// Tangent of the lowest elevation over the face at which any of the visible glass stands.
KERNEL float lowest_slope(Place a, GlassView v) {
  float least = 1.0e30;
  for (int k = 0; k < 4; k++) {
    vec3 c = face_direction(a.frame, glass_corner(v, k == 0 || k == 3 ? v.lo.x : v.hi.x, k < 2 ? v.lo.y : v.hi.y));
    least = min(least, c.z / max(sqrt(c.x * c.x + c.y * c.y), 1.0e-9));
  }
  return least;
}
// The same over all windows seen from the point; 1e30 when there are none.
KERNEL float lowest_window(Place a) {
  float least = 1.0e30;
  if (!outside_lit()) return least;
  int windows = window_count();
  if (windows < 1) return least;
  int i = 0;
  do {
    GlassView v = glass_view(i, a.world);
    if (v.visible) least = min(least, lowest_slope(a, v));
    i++;
  } while (i < windows);
  return least;
}

// Parts that the visible glass is cut into: five columns (one before each fin, three between), each of ground near and far,
// skyline, sky in two halves, and eaves (bands 0 to 5); most are empty. x from x to y, y from z to w.
KERNEL int glass_columns() { return 5; }
KERNEL int glass_bands() { return 6; }
KERNEL vec4 glass_strip(GlassView v, int column, int band) {
  float depth = v.p.z + v.reveal;
  Shades s = window_shades(v.window);
  float x_lo = v.lo.x;
  float x_hi = v.hi.x;
  if (s.left > 0.0) x_lo = clamp(v.p.x + (s.left_x - v.p.x) * depth / (depth + s.left), v.lo.x, v.hi.x);
  if (s.right > 0.0) x_hi = clamp(v.p.x + (s.right_x - v.p.x) * depth / (depth + s.right), x_lo, v.hi.x);
  float x0 = x_lo + (x_hi - x_lo) * float(column - 1) / 3.0;
  float x1 = x_lo + (x_hi - x_lo) * float(column) / 3.0;
  if (column == 0) {
    x0 = v.lo.x;
    x1 = x_lo;
  }
  if (column == 4) {
    x0 = x_hi;
    x1 = v.hi.x;
  }
  // through a roof window there is sky alone, or what its own direction says
  if (v.level) {
    float top = band < 4 ? v.lo.y + (v.hi.y - v.lo.y) * float(band + 1) / 4.0 : v.lo.y;
    float foot = band < 4 ? v.lo.y + (v.hi.y - v.lo.y) * float(band) / 4.0 : v.lo.y;
    return vec4(x0, x1, foot, top);
  }
  float aside = 0.5 * (x0 + x1) - v.p.x;
  float level = sqrt(square(aside) + square(depth));
  float eaves_foot = v.hi.y;
  if (s.eaves > 0.0) eaves_foot = clamp(v.p.y + (s.eaves_y - v.p.y) * depth / (depth + s.eaves), v.lo.y, v.hi.y);
  float ground_top = clamp(v.p.y, v.lo.y, eaves_foot);
  vec4 near = window_at(v.window, 7);
  float near_top = v.lo.y;
  if (near.w > 0.0) near_top = clamp(v.p.y - (v.p.y + scene_header(8).z) * depth / (depth + near.w), v.lo.y, ground_top);
  vec3 away = world_direction(v.wall, vec3(aside, 0.0, -depth));
  float skyline_top = clamp(v.p.y + level * tan(scene_skyline(away)), ground_top, eaves_foot);
  float middle = 0.5 * (skyline_top + eaves_foot);
  float y0 = v.lo.y;
  float y1 = near_top;
  if (band == 1) {
    y0 = near_top;
    y1 = ground_top;
  }
  if (band == 2) {
    y0 = ground_top;
    y1 = skyline_top;
  }
  if (band == 3) {
    y0 = skyline_top;
    y1 = middle;
  }
  if (band == 4) {
    y0 = middle;
    y1 = eaves_foot;
  }
  if (band == 5) {
    y0 = eaves_foot;
    y1 = v.hi.y;
  }
  return vec4(x0, x1, y0, y1);
}

// Whether a part of the glass is in sight of the point past the corners of the plan.
KERNEL bool part_in_sight(vec3 world, GlassView v, GlassPart g) {
  return clear_between(world, world + v.p.z / max(-dot(g.middle, v.wall.n), 1.0e-6) * g.middle);
}

// What a window's parts add to a facet beyond even smooth light: parts `first`, `first + each` and so on. `lifted`: the facet is one of
// the relief, which may hide part of the window. `hidden`: only what is so because the relief hides it.
KERNEL float window_luminance(Place a, FacetAxes f, float h, bool lifted, bool hidden, int window, Outside outside, int first, int each) {
  float sum = 0.0;
  GlassView v = glass_view(window, a.world);
  if (!v.visible) return sum;
  vec4 glass = window_at(window, 2);
  int wall = whole(window_at(window, 0).x);
  float back = v.p.z / (v.p.z + v.reveal);
  bool reaching = lifted && a.rise > 0.0 && lowest_slope(a, v) < a.steepest;
  if (hidden && !reaching) return sum;
  // what has no fins, eaves or ground in the house's shadow has no parts for them: left out by the loops' ends, since a software
  // rasteriser goes through what a choice leaves out
  Shades shades = window_shades(window);
  int columns = shades.right > 0.0 ? glass_columns() : glass_columns() - 1;
  int bands = shades.eaves > 0.0 ? glass_bands() : glass_bands() - 1;
  int next = first;
  int part = 0;
  int i = shades.left > 0.0 ? 0 : 1;
  do {
    int j = v.level || window_at(window, 7).w > 0.0 ? 0 : 1;
    do {
      vec4 s = vec4(0.0, 0.0, 0.0, 0.0);
      if (part == next) {
        s = glass_strip(v, i, j);
        next += each;
      }
      part++;
      if (s.w - s.z > 1.0e-6 && s.y - s.x > 1.0e-6) {
        vec3 middle = glass_corner(v, 0.5 * (s.x + s.y), 0.5 * (s.z + s.w));
        float l = length(middle);
        float spread = (s.y - s.x) * (s.w - s.z) * (v.p.z + v.reveal) / (l * l * l);
        if (!hidden || !part_clear(a, f, face_direction(a.frame, middle), spread)) {
          vec2 on_face = vec2(v.p.x + (0.5 * (s.x + s.y) - v.p.x) * back, v.p.y + (0.5 * (s.z + s.w) - v.p.y) * back);
          float fill = patch_light(wall, on_face).x / 3.141592653589793;
          GlassPart g = glass_part(v, outside, glass, fill, s.x, s.y, s.z, s.w);
          if (part_in_sight(a.world, v, g)) sum += hidden ? part_hidden(a, f, h, g) : part_luminance(a, f, h, reaching, g);
        }
      }
      j++;
    } while (j < bands);
    i++;
  } while (i < columns);
  return sum;
}

// One of the 64 rays by which a facet sees the room's faces: 32 of either lobe.
struct SheenRay {
  float weight;      // 0: none
  vec3 towards;      // unit, plan axes
  float soft;        // as room_radiance has it
};
// `frame`: the lobe's, as the eye sees the facet; `second`: of the 85 degree lobe; `point`: the node's.
KERNEL SheenRay sheen_ray(Place a, FacetAxes f, LobeFrame frame, bool second, vec2 point) {
  SheenRay ray;
  ray.weight = 0.0;
  ray.towards = vec3(0.0, 0.0, 1.0);
  float alpha = second ? a.coat.alpha85 : a.coat.alpha60;
  ray.soft = clamp(2.0 * alpha, 0.05, 0.5);
  LobeNode node = framed_node(frame, point, f.eye, alpha, a.coat.index);
  if (node.weight <= 0.0) return ray;
  vec3 w = node.light.x * f.x + node.light.y * f.y + node.light.z * f.n;
  float blend = grazing_weight(grazing_share(w.z), a.eye_share);
  ray.weight = node.weight * (second ? blend : 1.0 - blend);
  // a tilted facet also looks along the wall and a little behind its plane, where only the wall is; bent up
  // softly, or facets would make a contrast of the bend
  vec3 ahead = normalize(vec3(w.x, w.y, 0.5 * (w.z + sqrt(w.z * w.z + 0.01))));
  ray.towards = world_direction(a.frame, ahead);
  return ray;
}

// What some of a facet's rays into the room bring together: their weights, and radiances times weights. Threads may share the rays.
struct RoomRays {
  float weights;
  float sum;
};
// Rays `first`, `first + each` and so on of those of both lobes; openings are filled with the face around them.
KERNEL RoomRays room_rays(Place a, FacetAxes f, int first, int each) {
  RoomRays all;
  all.weights = 0.0;
  all.sum = 0.0;
  int k = (a.eye_share < 1.0 ? 0 : 32) + first;
  if (f.eye.z <= 1.0e-4 || k >= 64) return all;
  LobeFrame frame = lobe_frame(f.eye, a.coat.alpha60);
  LobeFrame second_frame = lobe_frame(f.eye, a.coat.alpha85);
  do {
    bool second = k >= 32;
    if (second) frame = second_frame;
    SheenRay ray = sheen_ray(a, f, frame, second, lobe_point(second ? k - 32 : k));
    if (ray.weight > 0.0) {
      all.weights += ray.weight;
      all.sum += ray.weight * room_radiance(a.world, ray.towards, ray.soft);
    }
    k += each;
  } while (k < 64);
  return all;
}
// Sheen of the room's faces by the rays that are brought together, the fixed nodes of both lobes or every so many of them; `albedo` of
// the facet's coat.
KERNEL float sheen_of_rays(float albedo, RoomRays rays) { return rays.weights > 0.0 ? albedo * rays.sum / rays.weights : 0.0; }
KERNEL float room_sheen(Place a, FacetAxes f) { return sheen_of_rays(f.albedo, room_rays(a, f, 0, 1)); }

// What all windows together add to a facet, as window_luminance for each.
KERNEL float windows_luminance(Place a, FacetAxes f, float h, bool lifted, bool hidden, int first, int each) {
  float sum = 0.0;
  if (!outside_lit()) return sum;
  Outside outside = scene_outside();
  int windows = window_count();
  if (windows < 1) return sum;
  int i = 0;
  do {
    sum += window_luminance(a, f, h, lifted, hidden, i, outside, first, each);
    i++;
  } while (i < windows);
  return sum;
}
// What the windows add to a facet beyond even smooth light.
KERNEL float window_sheen(Place a, FacetAxes f, float h, bool lifted) { return windows_luminance(a, f, h, lifted, false, 0, 1); }
// Of that, on a facet of the relief, what is so because the relief hides some of them: window_sheen lifted, less the same not.
KERNEL float window_hidden(Place a, FacetAxes f, float h) { return windows_luminance(a, f, h, true, true, 0, 1); }

// All that smooth light adds to a facet besides the even part of the base: a function of the slope alone wherever
// the relief does not reach up to a window.
KERNEL float facet_sheen(Place a, FacetAxes f, float h, bool lifted) { return room_sheen(a, f) + window_sheen(a, f, h, lifted); }

// The even part of the base: smooth = (E_x, E_y, E_n, div).
KERNEL float smooth_base(FacetAxes f, vec4 smooth_light, float h, vec2 slope) {
  float lux = f.tilt * (smooth_light.z - slope.x * smooth_light.x - slope.y * smooth_light.y - h * smooth_light.w);
  return f.base_out * max(lux, 0.0);
}

// Share of its height that smooth light answers to. A face that meets this one falls below the horizon of a facet as that
// is lifted, and so takes no light from it or gives it any; the light vector's divergence, which knows no horizon, grows
// without end there: within 0.1 m it is let go.
KERNEL float lift_share(int surface, vec2 p) {
  vec4 box = surface_at(surface, 4);
  return ease(min(min(p.x - box.x, p.y - box.y), min(box.z - p.x, box.w - p.y)), 0.1).height;
}

// Luminance, cd/m2, of a facet and of the flat face at p. Flat and tilted go through one loop, so that the driver
// inlines the shading once.
KERNEL Shaded shade_facet(Place a, vec4 smooth_light, Facet facet) {
  Shaded s;
  s.luminance = 0.0;
  s.flat_luminance = 0.0;
  if (a.eye.z <= 0.0) return s;
  bool relief = facet.h != 0.0 || facet.slope.x != 0.0 || facet.slope.y != 0.0;
  int facets = relief || facet.near ? 2 : 1;
  Place on = a;
  on.steepest = 0.0;
  on.rise = 0.0;
  float h = 0.0;
  vec2 slope = vec2(0.0, 0.0);
  float sheen = 0.0;
  // tested at its end: a software rasteriser runs a body once more, masked, when the test before it fails
  int k = 0;
  while (true) {
    if (k == 1) {
      on.steepest = a.steepest;
      on.rise = a.rise;
      h = facet.h;
      slope = facet.slope;
    }
    FacetAxes f = facet_axes(on, slope);
    if (k == 0 || relief) sheen = facet_sheen(on, f, h, k == 1);
    s.luminance = smooth_base(f, smooth_light, lift_share(a.surface, a.p) * h, slope) + sheen + direct_luminance(on, f, h);
    if (k == 0) s.flat_luminance = s.luminance;
    k++;
    if (k >= facets) break;
  }
  return s;
}

// A point of the picture: `footprint` is the side of the pixel on the face, m.
KERNEL Shaded shade_point(int surface, vec2 p, vec3 eye_world, float footprint, vec4 smooth_light) {
  return shade_facet(place_of(surface, p, eye_world), smooth_light, scene_relief(surface, p, footprint));
}

KERNEL Shaded even_shade(float luminance) {
  Shaded s;
  s.luminance = max(luminance, 0.0);
  s.flat_luminance = s.luminance;
  return s;
}

// Luminance of what a ray meets when it is no face with a field; faces without one are drawn from their patches.
KERNEL Shaded plain_shade(SceneHit hit, vec3 w) {
  if (hit.kind == 1) return even_shade(patch_light(hit.surface, hit.p).x / 3.141592653589793);
  if (hit.kind == 2) {
    vec4 sides = window_at(hit.window, 3);
    float exitance = sides.x;
    if (hit.part == 1) exitance = sides.y;
    if (hit.part == 2) exitance = sides.z;
    if (hit.part == 3) exitance = sides.w;
    return even_shade(exitance / 3.141592653589793);
  }
  if (hit.kind == 3) return even_shade(window_at(hit.window, 4).x / 3.141592653589793);
  if (hit.kind == 4) {
    vec4 glass = window_at(hit.window, 2);
    float beyond = window_at(hit.window, 4).y / 3.141592653589793;
    if (outside_lit()) {
      vec3 d = face_direction(surface_frame(hit.surface), w);
      float outside = beyond_luminance(scene_outside(), hit.window, beyond_glass(hit.window, hit.p, d, w), w);
      beyond += outside * glass_transmittance(-d.z, glass.x, glass.y, glass.z);
    }
    return even_shade(beyond);
  }
  if (hit.kind == 5) return even_shade(door_at(hit.window, 0).y * patch_light(hit.surface, hit.p).y / 3.141592653589793);
  return even_shade(0.0);
}

// Luminance along a ray from an eye in the room; `footprint` is the angle of a pixel, rad.
KERNEL Shaded luminance_of_ray(vec3 eye, vec3 w, float footprint) {
  SceneHit hit = scene_trace(eye, w);
  if (hit.kind == 1 && has_field(hit.surface)) {
    return shade_point(hit.surface, hit.p, eye, footprint * hit.range, field_light(hit.surface, hit.p));
  }
  return plain_shade(hit, w);
}
