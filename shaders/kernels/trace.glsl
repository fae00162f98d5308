// Rays in the room: a prism over a plan polygon, with doors flush in its walls and windows behind reveals.
// Needs scene.glsl and window.glsl before it. Ways in which floats could leave the room through a crack are closed: a ray that
// meets no wall within tolerance takes the wall whose segment it passes closest to.

// What a ray meets first. kind: 0 nothing, 1 face, 2 reveal, 3 window frame, 4 glass, 5 door.
struct SceneHit {
  int kind;
  int surface;     // the face, or the wall that holds the window or door
  int window;      // or door; -1 for faces
  int part;        // of a reveal: 0 jamb left, 1 jamb right, 2 sill, 3 head
  vec2 p;          // in the surface's frame (of glass and frame: in the glass plane)
  float range;     // distance along the ray, m
};

KERNEL SceneHit no_hit() {
  SceneHit h;
  h.kind = 0;
  h.surface = -1;
  h.window = -1;
  h.part = 0;
  h.p = vec2(0.0, 0.0);
  h.range = 0.0;
  return h;
}

KERNEL float cross2(vec2 a, vec2 b) { return a.x * b.y - a.y * b.x; }

// First face that a ray from a point in the room (or on one of its faces) meets, openings not looked at.
KERNEL SceneHit face_hit(vec3 origin, vec3 w) {
  SceneHit h = no_hit();
  int n = corner_count();
  float best = 1.0e30;
  float nearest_miss = 1.0e30;
  float missed = 1.0e30;
  int wall = -1;
  int missed_wall = -1;
  vec2 at = vec2(origin.x, origin.y);
  vec2 d = vec2(w.x, w.y);
  // tested at its end, as the loops of scene.glsl
  int i = 0;
  do {
    WallLine line = wall_line(i);
    vec2 edge = line.along;
    // corners are walked clockwise, so a ray leaves the room through a wall where this is negative
    float leaving = cross2(d, edge);
    if (leaving < -1.0e-9) {
      float t = cross2(line.from - at, edge) / leaving;
      float s = cross2(line.from - at, d) / leaving;
      float outside = max(-s, s - 1.0);
      if (t > -1.0e-4) {
        if (outside <= 0.0) {
          if (t < best) {
            best = t;
            wall = i;
          }
        } else if (outside < nearest_miss) {
          nearest_miss = outside;
          missed = t;
          missed_wall = i;
        }
      }
    }
    i++;
  } while (i < n);
  if (wall < 0) {
    if (nearest_miss < 1.0e-3) {
      wall = missed_wall;
      best = missed;
    }
  }
  float height = room_height();
  if (w.z > 0.0) {
    float t = (height - origin.z) / w.z;
    if (t < best) {
      best = t;
      wall = ceiling_index();
    }
  }
  if (w.z < 0.0) {
    float t = -origin.z / w.z;
    if (t < best) {
      best = t;
      wall = floor_index();
    }
  }
  if (wall < 0) return h;
  vec3 q = face_from_world(surface_frame(wall), origin + best * w);
  h.kind = 1;
  h.surface = wall;
  h.p = vec2(q.x, q.y);
  h.range = best;
  return h;
}

KERNEL bool inside_box(vec2 p, vec4 box) { return p.x >= box.x && p.x <= box.z && p.y >= box.y && p.y <= box.w; }

// Carries on through an opening: q the point on the wall's face, d the direction, both in the wall's frame.
KERNEL SceneHit opening_hit(SceneHit on_face, int window, vec2 q, vec3 d) {
  SceneHit h = on_face;
  vec4 about = window_at(window, 0);
  vec4 box = window_at(window, 1);
  h.window = window;
  // outwards is -n
  float inwards = max(-d.z, 1.0e-9);
  float t = about.y / inwards;
  float side = 0.0;
  if (d.x < 0.0) {
    side = (box.x - q.x) / d.x;
    if (side < t) {
      t = side;
      h.kind = 2;
      h.part = 0;
    }
  }
  if (d.x > 0.0) {
    side = (box.z - q.x) / d.x;
    if (side < t) {
      t = side;
      h.kind = 2;
      h.part = 1;
    }
  }
  if (d.y < 0.0) {
    side = (box.y - q.y) / d.y;
    if (side < t) {
      t = side;
      h.kind = 2;
      h.part = 2;
    }
  }
  if (d.y > 0.0) {
    side = (box.w - q.y) / d.y;
    if (side < t) {
      t = side;
      h.kind = 2;
      h.part = 3;
    }
  }
  h.p = q + t * vec2(d.x, d.y);
  h.range = on_face.range + t;
  if (h.kind == 2) return h;
  h.kind = 3;
  vec4 glass = vec4(box.x + about.z, box.y + about.z, box.z - about.z, box.w - about.z);
  if (inside_box(h.p, glass)) h.kind = 4;
  return h;
}

// What a ray meets behind the glass. kind: 0 ground, 1 skyline, 2 sky, 3 eaves, 4 a fin; away: of ground, how far from the
// house, m.
struct Beyond {
  int kind;
  float away;
};

KERNEL Shades window_shades(int window) {
#ifdef NO_SHADES
  return no_shades();
#else
  vec4 eaves = window_at(window, 5);
  vec4 fins = window_at(window, 6);
  Shades s;
  s.eaves = eaves.x;
  s.eaves_y = eaves.y;
  s.eaves_lo = eaves.z;
  s.eaves_hi = eaves.w;
  s.left = fins.x;
  s.left_x = fins.y;
  s.right = fins.z;
  s.right_x = fins.w;
  return s;
#endif
}

// q: a point of the glass in the wall's frame; d: a direction out there, the same as w in plan axes.
KERNEL Beyond beyond_glass(int window, vec2 q, vec3 d, vec3 w) {
  Shades s = window_shades(window);
  Beyond b;
  b.kind = 2;
  b.away = 0.0;
  float nearest = 1.0e30;
  if (s.eaves > 0.0 && d.y > 1.0e-9) {
    float t = (s.eaves_y - q.y) / d.y;
    float x = q.x + t * d.x;
    if (-d.z * t < s.eaves && x > s.eaves_lo && x < s.eaves_hi) {
      nearest = t;
      b.kind = 3;
    }
  }
  if (s.left > 0.0 && d.x < -1.0e-9) {
    float t = (s.left_x - q.x) / d.x;
    if (t < nearest && -d.z * t < s.left) b.kind = 4;
  }
  if (s.right > 0.0 && d.x > 1.0e-9) {
    float t = (s.right_x - q.x) / d.x;
    if (t < nearest && -d.z * t < s.right) b.kind = 4;
  }
  if (b.kind > 2) return b;
  if (w.z <= 0.0) {
    b.kind = 0;
    // ground is seen through windows in walls only, whose y is the height over the floor
    b.away = -d.z * (q.y + scene_header(8).z) / max(-w.z, 1.0e-9);
    return b;
  }
  if (w.z < sin(scene_skyline(w))) b.kind = 1;
  return b;
}

// Its luminance, cd/m2.
KERNEL float beyond_luminance(Outside o, int window, Beyond b, vec3 w) {
  if (b.kind == 1) return o.skyline_luminance;
  if (b.kind == 2) return o.scale * sky_relative(o, w);
  vec4 near = window_at(window, 7);
  if (b.kind == 3) return near.x;
  if (b.kind == 4) return near.y;
  return b.away < near.w ? near.z : o.ground_luminance;
}

// What a ray meets first, openings and doors included. `w` is a unit vector in plan axes.
KERNEL SceneHit scene_trace(vec3 origin, vec3 w) {
  SceneHit h = face_hit(origin, w);
  if (h.kind == 0) return h;
  int windows = window_count();
  int window = -1;
  int i = 0;
  if (windows > 0) {
    do {
      if (whole(window_at(i, 0).x) == h.surface && inside_box(h.p, window_at(i, 1))) window = i;
      i++;
    } while (window < 0 && i < windows);
  }
  if (window >= 0) return opening_hit(h, window, h.p, face_direction(surface_frame(h.surface), w));
  int doors = door_count();
  int door = -1;
  i = 0;
  if (doors > 0) {
    do {
      if (whole(door_at(i, 0).x) == h.surface && inside_box(h.p, door_at(i, 1))) door = i;
      i++;
    } while (door < 0 && i < doors);
  }
  if (door >= 0) {
    h.kind = 5;
    h.window = door;
  }
  return h;
}

// Whether the straight line between two points in the room (or on its faces) stays inside, decided in plan.
// Touching a wall or a corner counts as clear.
KERNEL bool clear_between(vec3 p, vec3 q) {
  if (room_convex()) return true;
  int n = corner_count();
  vec2 from = vec2(p.x, p.y);
  vec2 d = vec2(q.x - p.x, q.y - p.y);
  bool clear = true;
  int i = 0;
  do {
    WallLine line = wall_line(i);
    vec2 edge = line.along;
    float leaving = cross2(d, edge);
    if (leaving < -1.0e-9) {
      float t = cross2(line.from - from, edge) / leaving;
      float s = cross2(line.from - from, d) / leaving;
      if (t > 1.0e-4 && t < 1.0 - 1.0e-4 && s > 0.0 && s < 1.0) clear = false;
    }
    i++;
  } while (clear && i < n);
  return clear;
}

// Radiance of the room's faces from a point in a direction, openings filled with the face around them. Where two
// faces meet it changes over within `soft` of the distance, so that a few rays see no edges (convex plans; in others
// the faces meet hard). Each of a few rays stands for a spot of about half of `soft` times its way: the face is
// taken there as blurred as that spot is wide (filtered importance sampling, after Krivanek & Colbert 2008), or tilting
// a facet would drag a sharp ray across a patch of sun or a lamp's scallop and make contrast of it.
const float SHEEN_BLUR = 0.4;  // m, standard deviation of the blurred exitance in the table
KERNEL float face_radiance(int surface, vec3 world, float spot) {
  return exitance_at(surface, world, clamp(spot / SHEEN_BLUR, 0.0, 1.0)) / 3.141592653589793;
}
KERNEL float face_share(float t, float nearest, float soft) {
  float x = clamp((t / max(nearest, 1.0e-6) - 1.0) / soft, 0.0, 1.0);
  return 1.0 - x * x * (3.0 - 2.0 * x);
}
// How far along a ray in a convex plan a wall stands, or floor or ceiling (face = corners), m; 1e30 where the ray runs away from it.
KERNEL float range_of_face(vec3 origin, vec3 w, int face) {
  if (face < corner_count()) {
    WallLine line = wall_line(face);
    float leaving = cross2(vec2(w.x, w.y), line.along);
    return leaving < -1.0e-6 ? max(cross2(line.from - vec2(origin.x, origin.y), line.along) / leaving, 0.0) : 1.0e30;
  }
  if (abs(w.z) <= 1.0e-6) return 1.0e30;
  return max((w.z > 0.0 ? room_height() - origin.z : -origin.z) / w.z, 0.0);
}
KERNEL float room_radiance(vec3 origin, vec3 w, float soft) {
  if (!room_convex()) {
    SceneHit hit = face_hit(origin, w);
    if (hit.kind == 0) return mean_room_radiance();
    return face_radiance(hit.surface, origin + hit.range * w, 0.5 * soft * hit.range);
  }
  // a ray leaves a convex plan where it first meets any plane on its way out
  int faces = corner_count() + 1;
  float nearest = 1.0e30;
  int i = 0;
  do {
    nearest = min(nearest, range_of_face(origin, w, i));
    i++;
  } while (i < faces);
  float last = min(nearest * (1.0 + soft), 1.0e29);
  float shares = 0.0;
  float sum = 0.0;
  i = 0;
  do {
    float range = range_of_face(origin, w, i);
    if (range <= last) {
      int surface = i;
      if (i == faces - 1) surface = w.z > 0.0 ? ceiling_index() : floor_index();
      float share = face_share(range, nearest, soft);
      shares += share;
      sum += share * face_radiance(surface, origin + range * w, 0.5 * soft * range);
    }
    i++;
  } while (i < faces);
  return shares > 0.0 ? sum / shares : mean_room_radiance();
}
