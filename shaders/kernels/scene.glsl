// The scene as one table of rows of four numbers, and the only accessors to it. Whoever includes this file
// provides the hooks
//   vec4 scene_row(int i)
//   vec4 scene_header(int i), the same for the header's rows: read everywhere, so not from the table in a shader
// and includes maths, sky, field, sheen and relief before it.
// A shader may be made for scenes that lack something, and then leaves out the code for it (src/draw/scene_lacks.h says what
// for); in C++ none of this is defined:
//   ONLY_DISCS   no lamp is a box               ONLY_COSINES      no lamp has a table
//   CONVEX_PLAN  the plan is convex             NO_ROOF_WINDOWS   all windows stand in walls
//   NO_SHADES    no eaves and no fins           LEVEL_SKYLINE     the skyline is the same all round
//   TRUE_FRAMING no substrate
// Row layout (counts and offsets are whole numbers stored as floats; offsets are rows):
//   header
//     0  surfaces, first surface row, corners, first corner row
//     1  windows, first window row, lamps, first lamp row
//     2  doors, first door row, room height (m), 1 when the plan is convex
//     3  direction to the sun (plan axes), direct normal illuminance (lx; 0 = no sun; what the skyline hides of it taken off)
//     4  Outside: sun, scale          5  a, b, c, d          6  e, skyline altitude, skyline and ground luminance
//     7  1 when something comes from outside, index of the ceiling, index of the floor, mean room radiance (cd/m2)
//     8  first skyline row, skyline points (0: the same all round), depth of the ground outside under the floor (m), 0
//   surface (surface_stride rows)
//     0  origin, kind (0 wall, 1 ceiling, 2 floor)   1  x axis, 0   2  y axis, 0   3  n, total reflectance
//     4  box lo, hi
//     5  alpha at 60 degrees, alpha at 85, reflectance of the base under the coat, mean albedo of the coat
//     6  first patch row, patches along x, along y, index of refraction        7  patch box lo, hi
//     8  first field row, nodes along x, along y, first substrate row (nx = 0: no field; row 0: no substrate)
//     9  field origin, step
//     10 first cell row, cells along x, along y, cell side (m)
//     11 first joint row, joints, steepest slope, range of heights (m)
//     12-17 coat albedo: coefficients of three polynomials, two rows each (kernels/sheen.glsl)
//     18-19 up to three stipples: standard deviation of heights (m), pitch (m) (kernels/stipple.glsl)
//     20-21 along x and along y: what takes a point of the room (plan axes) to its place among the patches' centres, and what is added
//   corner: x, y, and the way from there to the next corner (wall i runs from corner i to i + 1)
//   skyline point: azimuth from plan x towards y (rad, ascending over a whole turn; the last is the first again), altitude, 0, 0
//   window (window_stride rows)
//     0  surface, reveal (m), frame (m), reveal reflectance   1  opening lo, hi
//     2  panes, extinction, scale (a cover's straight share in it), 0
//     3  exitance of the jambs left and right, sill, head (lm/m2)              4  of frame, pane, a covered pane (else 0), 0
//     5  eaves: how far out, underside, ends          6  fins: left how far out, x; right how far out, x (kernels/window.glsl)
//     7  luminance of eaves and of fins, of ground in the house's shadow (cd/m2), how far from the house that reaches (m)
//   door: 0  surface, reflectance, 0, 0   1  opening lo, hi
//   lamp (lamp_stride rows; kernels/lamp.glsl says what they mean)
//     0  at, size (m)   1  aim, exponent   2  peak (cd), first row of its distribution (kernels/distribution.glsl; -1: cos^n), 0, 0
//     3  x, 0           4  sides (m; all 0: a disc), 0
//   joint (joint_stride rows)
//     0  from, along (unit)   1  length, first offset, step, samples
//     2  first sample row, steepest slope, highest and lowest height   3  left and right feather edge, cover (0 bare, 1 filled),
//        1 when the film lies round its line (kernels/relief.glsl: round_film)
//   substrate: 0  1 when its members run along y, offset of the first, spacing, members  1  members' lower end, length, sag, 0
//              then a row per member (kernels/substrate.glsl)
//   section samples: height, slope of sample 2i and of 2i + 1, two a row
//   patch: exitance (lm/m2), illuminance (lx), 1 (0 only where a face has no patch at all), 0; openings carry their rim on;
//          behind all of a face, for each of them, two rows: exitance of it and of its neighbours in x, y, both, then blurred
//   field node: E_x, E_y, E_n (lx), divergence of the tangential part (lx/m)
//   cell: indices of up to four joints (-1 = none), then four more in the next row

KERNEL int surface_stride() { return 22; }
KERNEL int window_stride() { return 8; }
KERNEL int door_stride() { return 2; }
KERNEL int lamp_stride() { return 5; }
KERNEL int joint_stride() { return 4; }
KERNEL int cell_stride() { return 2; }

KERNEL int whole(float x) { return int(floor(x + 0.5)); }

KERNEL int surface_count() { return whole(scene_header(0).x); }
KERNEL int surface_row(int surface, int line) { return whole(scene_header(0).y) + surface * surface_stride() + line; }
KERNEL vec4 surface_at(int surface, int line) { return scene_row(surface_row(surface, line)); }
KERNEL int corner_count() { return whole(scene_header(0).z); }
KERNEL vec2 corner_at(int i) {
  vec4 r = scene_row(whole(scene_header(0).w) + i);
  return vec2(r.x, r.y);
}
// A wall's line in plan, of its first corner and the way to the next.
struct WallLine {
  vec2 from;
  vec2 along;
};
KERNEL WallLine wall_line(int i) {
  vec4 r = scene_row(whole(scene_header(0).w) + i);
  WallLine l;
  l.from = vec2(r.x, r.y);
  l.along = vec2(r.z, r.w);
  return l;
}
KERNEL int window_count() { return whole(scene_header(1).x); }
KERNEL vec4 window_at(int window, int line) {
  return scene_row(whole(scene_header(1).y) + window * window_stride() + line);
}
KERNEL int lamp_count() { return whole(scene_header(1).z); }
KERNEL vec4 lamp_at(int lamp, int line) { return scene_row(whole(scene_header(1).w) + lamp * lamp_stride() + line); }
KERNEL int door_count() { return whole(scene_header(2).x); }
KERNEL vec4 door_at(int door, int line) { return scene_row(whole(scene_header(2).y) + door * door_stride() + line); }
KERNEL float room_height() { return scene_header(2).z; }
KERNEL bool room_convex() {
#ifdef CONVEX_PLAN
  return true;
#else
  return scene_header(2).w > 0.5;
#endif
}
KERNEL int ceiling_index() { return whole(scene_header(7).y); }
KERNEL int floor_index() { return whole(scene_header(7).z); }
KERNEL float mean_room_radiance() { return scene_header(7).w; }
KERNEL bool outside_lit() { return scene_header(7).x > 0.5; }

KERNEL Outside scene_outside() {
  vec4 r4 = scene_header(4);
  vec4 r5 = scene_header(5);
  vec4 r6 = scene_header(6);
  Outside o;
  o.sun = vec3(r4.x, r4.y, r4.z);
  o.scale = r4.w;
  o.a = r5.x;
  o.b = r5.y;
  o.c = r5.z;
  o.d = r5.w;
  o.e = r6.x;
  o.skyline_altitude = r6.y;
  o.skyline_luminance = r6.z;
  o.ground_luminance = r6.w;
  return o;
}

// Altitude of the skyline towards a direction, rad; straight between its points.
KERNEL float scene_skyline(vec3 w) {
#ifdef LEVEL_SKYLINE
  return scene_header(6).y;
#else
  vec4 about = scene_header(8);
  int points = whole(about.y);
  if (points < 2) return scene_header(6).y;
  int first = whole(about.x);
  float turn = 6.283185307179586;
  float start = scene_row(first).x;
  float azimuth = atan(w.y, w.x);
  azimuth -= turn * floor((azimuth - start) / turn);
  // the last point at or before it
  int lo = 0;
  int hi = points - 1;
  int k = 0;
  do {
    int middle = (lo + hi) / 2;
    if (scene_row(first + middle).x <= azimuth) lo = middle;
    else hi = middle;
    k++;
  } while (hi - lo > 1 && k < 8);
  vec4 a = scene_row(first + lo);
  vec4 b = scene_row(first + hi);
  return mix(a.y, b.y, clamp((azimuth - a.x) / max(b.x - a.x, 1.0e-9), 0.0, 1.0));
#endif
}

// A face's frame: plan axes from the face's own.
struct FaceFrame {
  vec3 origin;
  vec3 x;
  vec3 y;
  vec3 n;
};
KERNEL vec3 first_three(vec4 r) { return vec3(r.x, r.y, r.z); }
KERNEL FaceFrame surface_frame(int surface) {
  FaceFrame f;
  f.origin = first_three(surface_at(surface, 0));
  f.x = first_three(surface_at(surface, 1));
  f.y = first_three(surface_at(surface, 2));
  f.n = first_three(surface_at(surface, 3));
  return f;
}
KERNEL vec3 world_from_face(FaceFrame f, vec3 p) { return f.origin + p.x * f.x + p.y * f.y + p.z * f.n; }
KERNEL vec3 face_from_world(FaceFrame f, vec3 w) {
  vec3 d = w - f.origin;
  return vec3(dot(d, f.x), dot(d, f.y), dot(d, f.n));
}
KERNEL vec3 face_direction(FaceFrame f, vec3 w) { return vec3(dot(w, f.x), dot(w, f.y), dot(w, f.n)); }
KERNEL vec3 world_direction(FaceFrame f, vec3 d) { return d.x * f.x + d.y * f.y + d.z * f.n; }

// Where a face's patches are looked up at p: four of them, counted from its first, and p's place between their centres.
struct PatchTaps {
  bool there;
  int a;
  int b;
  int c;
  int d;
  float x;
  float y;
};
KERNEL PatchTaps patch_taps(int surface, vec2 p) {
  vec4 grid = surface_at(surface, 6);
  vec4 box = surface_at(surface, 7);
  int nx = whole(grid.y);
  int ny = whole(grid.z);
  PatchTaps t;
  t.there = nx >= 1 && ny >= 1;
  float gx = clamp((p.x - box.x) / (box.z - box.x) * grid.y - 0.5, 0.0, grid.y - 1.0);
  float gy = clamp((p.y - box.y) / (box.w - box.y) * grid.z - 0.5, 0.0, grid.z - 1.0);
  int ix = min(int(gx), nx - 1);
  int iy = min(int(gy), ny - 1);
  int jx = min(ix + 1, nx - 1);
  int jy = min(iy + 1, ny - 1);
  t.a = iy * nx + ix;
  t.b = iy * nx + jx;
  t.c = jy * nx + ix;
  t.d = jy * nx + jx;
  t.x = gx - float(ix);
  t.y = gy - float(iy);
  return t;
}

// Patches of a face: exitance (x), illuminance (y), whether there is one (z), exitance blurred over the face (w), at p,
// bilinear between the patches' centres, missing ones left out of the mean; constant beyond the outermost centres.
KERNEL vec4 patch_row(int surface, vec2 p) {
  PatchTaps t = patch_taps(surface, p);
  if (!t.there) return vec4(0.0, 0.0, 0.0, 0.0);
  int first = whole(surface_at(surface, 6).x);
  vec4 a = scene_row(first + t.a);
  vec4 b = scene_row(first + t.b);
  vec4 c = scene_row(first + t.c);
  vec4 d = scene_row(first + t.d);
  float wa = (1.0 - t.x) * (1.0 - t.y) * a.z;
  float wb = t.x * (1.0 - t.y) * b.z;
  float wc = (1.0 - t.x) * t.y * c.z;
  float wd = t.x * t.y * d.z;
  float sum = wa + wb + wc + wd;
  if (sum <= 1.0e-6) {
    float mean = mean_room_radiance() * 3.141592653589793;
    return vec4(mean, 0.0, 0.0, mean);
  }
  return (wa * a + wb * b + wc * c + wd * d) / sum;
}

// Exitance and illuminance of a face at p.
KERNEL vec2 patch_light(int surface, vec2 p) {
  vec4 r = patch_row(surface, p);
  return vec2(r.x, r.y);
}

// Exitance (lm/m2) of a face where a ray meets it at a point of the room, and as blurred, taken by `blurred` of the way to that: as
// patch_row has them, in two rows.
KERNEL float exitance_at(int surface, vec3 world, float blurred) {
  vec4 grid = surface_at(surface, 6);
  vec4 ax = surface_at(surface, 20);
  vec4 ay = surface_at(surface, 21);
  if (grid.y < 0.5) return 0.0;
  float gx = clamp(dot(world, first_three(ax)) + ax.w, 0.0, grid.y - 1.0);
  float gy = clamp(dot(world, first_three(ay)) + ay.w, 0.0, grid.z - 1.0);
  float ix = floor(gx);
  float iy = floor(gy);
  int row = whole(grid.x + grid.y * grid.z + 2.0 * (iy * grid.y + ix));
  vec4 sharp = scene_row(row);
  vec4 soft = scene_row(row + 1);
  float tx = gx - ix;
  float ty = gy - iy;
  vec4 v = sharp + blurred * (soft - sharp);
  return mix(mix(v.x, v.y, tx), mix(v.z, v.w, tx), ty);
}

// Of the three that a face may have: standard deviation of heights, pitch (m); 0, 0 for none.
KERNEL vec2 surface_stipple(int surface, int which) {
  vec4 r = surface_at(surface, which < 2 ? 18 : 19);
  return which == 1 ? vec2(r.z, r.w) : vec2(r.x, r.y);
}

KERNEL bool has_field(int surface) { return surface_at(surface, 8).y > 0.5; }

// Smooth light (E_x, E_y, E_n, div) at p from the field grid, bicubic; zero tangential part and the patches'
// illuminance where the surface has no grid.
KERNEL vec4 field_light(int surface, vec2 p) {
  vec4 grid = surface_at(surface, 8);
  int first = whole(grid.x);
  int nx = whole(grid.y);
  int ny = whole(grid.z);
  if (nx < 4 || ny < 4) return vec4(0.0, 0.0, patch_light(surface, p).y, 0.0);
  vec4 place = surface_at(surface, 9);
  float u = field_coordinate(p.x, place.x, place.z, grid.y);
  float v = field_coordinate(p.y, place.y, place.w, grid.z);
  vec4 wx = field_weights(u, grid.y);
  vec4 wy = field_weights(v, grid.z);
  int corner = first + whole(field_first_tap(v, grid.z)) * nx + whole(field_first_tap(u, grid.y));
  vec4 sum = vec4(0.0, 0.0, 0.0, 0.0);
  for (int j = 0; j < 4; j++) {
    int row = corner + j * nx;
    sum += wy[j] * (wx.x * scene_row(row) + wx.y * scene_row(row + 1) + wx.z * scene_row(row + 2) +
                    wx.w * scene_row(row + 3));
  }
  return sum;
}

KERNEL Coat surface_coat(int surface) {
  vec4 about = surface_at(surface, 5);
  Coat c;
  c.alpha60 = about.x;
  c.alpha85 = about.y;
  c.base = about.z;
  c.mean_albedo = about.w;
  c.index = surface_at(surface, 6).w;
  c.a_low = surface_at(surface, 12);
  c.a_high = surface_at(surface, 13);
  c.b_low = surface_at(surface, 14);
  c.b_high = surface_at(surface, 15);
  c.c_low = surface_at(surface, 16);
  c.c_high = surface_at(surface, 17);
  return c;
}

// Height over the ideal face (m) and slope of the finished surface.
struct Facet {
  float h;
  vec2 slope;
  bool near;   // a joint is near enough to cast a shadow here
  float cover; // share of the face that compound covers here
};
KERNEL Facet flat_facet() {
  Facet f;
  f.h = 0.0;
  f.slope = vec2(0.0, 0.0);
  f.near = false;
  f.cover = 0.0;
  return f;
}

// A joint's section at offset u: height and slope, zero outside it.
KERNEL HeightSlope section_at(vec4 measures, int first_sample, float u) {
  HeightSlope none;
  none.height = 0.0;
  none.slope = 0.0;
  float x = (u - measures.y) / measures.z;
  if (x < 0.0 || x >= measures.w - 1.0) return none;
  int i = min(int(x), whole(measures.w) - 2);
  // samples lie two in a row
  int row = i / 2;
  vec4 a = scene_row(first_sample + row);
  if (i - 2 * row == 0) return hermite_height(a.x, a.y, a.z, a.w, measures.z, x - float(i));
  vec4 b = scene_row(first_sample + row + 1);
  return hermite_height(a.z, a.w, b.x, b.y, measures.z, x - float(i));
}

// One joint's film at a point of its face, its slope averaged over a footprint (m) across the joint.
KERNEL Film joint_film_at(int joint_row, vec2 p, float footprint) {
  vec4 line = scene_row(joint_row);
  vec4 measures = scene_row(joint_row + 1);
  vec2 along = vec2(line.z, line.w);
  vec2 across = vec2(line.w, -line.z);
  vec2 d = p - vec2(line.x, line.y);
  float s = dot(d, along);
  float u = dot(d, across);
  float last = measures.y + measures.z * (measures.w - 1.0);
  vec4 edges = scene_row(joint_row + 3);
  bool round_core = edges.w > 0.5;
  Away away;
  if (round_core) {
    away = away_from(p, vec2(line.x, line.y), along, measures.x);
    u = away.distance;
  } else if (s <= 0.0 || s >= measures.x) {
    return no_film();
  }
  if (u + footprint < measures.y || u - footprint > last) return no_film();
  int first_sample = whole(scene_row(joint_row + 2).x);
  HeightSlope section = section_at(measures, first_sample, u);
  if (footprint >= LEAST_FOOTPRINT) {
    // a film that starts at its line has nothing before it
    float before = round_core ? max(u - 0.5 * footprint, measures.y) : u - 0.5 * footprint;
    float after = u + 0.5 * footprint;
    section.slope = filtered_slope(section_at(measures, first_sample, before).height,
                                   section_at(measures, first_sample, after).height, after - before, section.slope);
  }
  if (round_core) return round_film(section, away, edges.y, edges.z);
  return joint_film(section, u, s, edges.x, edges.y, measures.x, edges.z, across, along);
}

// Height and slope that the joints near p add: those of its cell, folded in their order.
KERNEL Facet joints_relief(int surface, vec2 p, float footprint) {
  vec4 cells = surface_at(surface, 10);
  if (cells.y < 0.5) return flat_facet();
  vec4 box = surface_at(surface, 4);
  int nx = whole(cells.y);
  int ny = whole(cells.z);
  int ix = clamp(int((p.x - box.x) / cells.w), 0, nx - 1);
  int iy = clamp(int((p.y - box.y) / cells.w), 0, ny - 1);
  int row = whole(cells.x) + (iy * nx + ix) * cell_stride();
  vec4 some = scene_row(row);
  if (some.x < -0.5) return flat_facet();
  int first = whole(surface_at(surface, 11).x);
  // one loop instead of eight calls: the driver inlines each call; tested at its end, as all loops here that a software rasteriser
  // runs: it goes through a body once more, masked, when the test before it fails
  Film sum = no_film();
  int k = 0;
  do {
    sum = films_meet(sum, joint_film_at(first + whole(some.x) * joint_stride(), p, footprint));
    k++;
    some = vec4(some.y, some.z, some.w, -1.0);
    if (k == 4) some = scene_row(row + 1);
  } while (some.x >= -0.5 && k < 8);
  Facet f;
  f.h = sum.height;
  f.slope = sum.slope;
  f.near = true;
  f.cover = sum.presence;
  return f;
}

// What the framing makes of a face at p.
KERNEL Undulation scene_substrate(int first, vec2 p) {
  vec4 lie = scene_row(first);
  vec4 ends = scene_row(first + 1);
  bool upright = lie.x > 0.5;
  float across = ((upright ? p.x : p.y) - lie.y) / lie.z;
  float s = clamp(((upright ? p.y : p.x) - ends.x) / ends.y, 0.0, 1.0);
  int bay = clamp(int(floor(across)), 0, whole(lie.w) - 2);
  return substrate_between(scene_row(first + 2 + bay), scene_row(first + 3 + bay), lie.z,
                           clamp(across - float(bay), 0.0, 1.0), s, ends.y, ends.z);
}

// Height and slope of a face at p: its joints over what the framing makes of it.
KERNEL Facet scene_relief(int surface, vec2 p, float footprint) {
  Facet f = joints_relief(surface, p, footprint);
#ifndef TRUE_FRAMING
  int first = whole(surface_at(surface, 8).w);
  if (first < 1) return f;
  Undulation u = scene_substrate(first, p);
  f.h += u.height;
  f.slope += scene_row(first).x > 0.5 ? vec2(u.across, u.along) : vec2(u.along, u.across);
  f.near = true;
#endif
  return f;
}

KERNEL float scene_height(int surface, vec2 p) { return scene_relief(surface, p, 0.0).h; }
