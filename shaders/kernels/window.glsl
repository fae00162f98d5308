// The sun through one window: how much of its disc is seen past the opening, its reveal and the glass's edge, and past
// what stands out from the house round it. Needs kernels/sun.glsl before it.

// What stands out in front of a window, in its wall's frame: a level slab over it (eaves, a balcony) and upright fins beside
// it, endless upwards and downwards. How far they stand out counts from the glass's plane; 0: there is none.
struct Shades {
  float eaves;      // m
  float eaves_y;    // its underside
  float eaves_lo;   // its ends, x
  float eaves_hi;
  float left;       // m; a fin's side towards the window stands at x
  float left_x;
  float right;
  float right_x;
};
KERNEL Shades no_shades() {
  Shades s;
  s.eaves = 0.0;
  s.eaves_y = 0.0;
  s.eaves_lo = 0.0;
  s.eaves_hi = 0.0;
  s.left = 0.0;
  s.left_x = 0.0;
  s.right = 0.0;
  s.right_x = 0.0;
  return s;
}

// An edge at `edge` against the disc's centre at `at`, in radii of the disc's projection there.
KERNEL float past_edge(float at, float edge, float blur) { return (at - edge) / max(blur, 1.0e-9); }

// p: the receiver in the wall's frame (x, y, height over the wall's face); to_sun: unit direction to the sun in the
// same frame; opening and glass rectangles in the wall's x, y; the glass lies `reveal` behind the face.
// The opening is slid along the beam onto the glass plane and the two rectangles are cut; the penumbra is the disc's
// projection there (an opening's edge is nearer by the reveal, so its blur is overstated by reveal / distance).
// Of parallel edges the one that takes most of the disc counts, each blurred by its own distance; edges square to each
// other are multiplied as if independent, as in rect_share.
KERNEL float shaded_sun_share(vec3 p, vec3 to_sun, vec2 opening_lo, vec2 opening_hi, vec2 glass_lo, vec2 glass_hi,
                              float reveal, float radius, Shades shades) {
  float out_going = -to_sun.z;
  float depth = p.z + reveal;
  if (out_going <= 1.0e-6 || depth <= 0.0) {
    return 0.0;
  }
  float reach = depth / out_going;
  vec2 crossing = vec2(p.x + to_sun.x * reach, p.y + to_sun.y * reach);
  vec2 lo = glass_lo;
  vec2 hi = glass_hi;
  // a receiver inside the reveal has the opening behind it
  if (p.z >= 0.0) {
    vec2 slide = vec2(to_sun.x * reveal / out_going, to_sun.y * reveal / out_going);
    lo = max(lo, opening_lo + slide);
    hi = min(hi, opening_hi + slide);
  }
  if (lo.x >= hi.x || lo.y >= hi.y) {
    return 0.0;
  }
  // half-axes of the disc's projection per metre of depth
  float wide = radius / (out_going * out_going) * sqrt(out_going * out_going + to_sun.x * to_sun.x);
  float high = radius / (out_going * out_going) * sqrt(out_going * out_going + to_sun.y * to_sun.y);
  float from_left = past_edge(crossing.x, lo.x, depth * wide);
  float to_right = past_edge(crossing.x, hi.x, depth * wide);
  if (shades.left > 0.0) {
    float far = depth + shades.left;
    from_left = min(from_left, past_edge(p.x + to_sun.x * far / out_going, shades.left_x, far * wide));
  }
  if (shades.right > 0.0) {
    float far = depth + shades.right;
    to_right = max(to_right, past_edge(p.x + to_sun.x * far / out_going, shades.right_x, far * wide));
  }
  float across = max(disc_share(from_left) - disc_share(to_right), 0.0);
  float from_foot = disc_share(past_edge(crossing.y, lo.y, depth * high));
  float to_head = past_edge(crossing.y, hi.y, depth * high);
  float upright = max(from_foot - disc_share(to_head), 0.0);
  if (shades.eaves > 0.0 && to_sun.y > 1.0e-6) {
    float far = depth + shades.eaves;
    float under = max(to_head, past_edge(p.y + to_sun.y * far / out_going, shades.eaves_y, far * high));
    // how much of the beam passes the slab's height between its ends
    float way = max((shades.eaves_y - p.y) / to_sun.y, 0.0);
    float ends = slot_share(p.x + way * to_sun.x, shades.eaves_lo, shades.eaves_hi,
                            way * radius / to_sun.y * sqrt(to_sun.y * to_sun.y + to_sun.x * to_sun.x));
    upright -= ends * (upright - max(from_foot - disc_share(under), 0.0));
  }
  return across * upright;
}
KERNEL float window_sun_share(vec3 p, vec3 to_sun, vec2 opening_lo, vec2 opening_hi, vec2 glass_lo, vec2 glass_hi,
                              float reveal, float radius) {
  return shaded_sun_share(p, to_sun, opening_lo, opening_hi, glass_lo, glass_hi, reveal, radius, no_shades());
}
