// The sun through one window: how much of its disc is seen past the opening, its reveal and the glass's edge.
// Needs kernels/sun.glsl before it.

// p: the receiver in the wall's frame (x, y, height over the wall's face); to_sun: unit direction to the sun in the
// same frame; opening and glass rectangles in the wall's x, y; the glass lies `reveal` behind the face.
// The opening is slid along the beam onto the glass plane and the two rectangles are cut; the penumbra is the disc's
// projection there (an opening's edge is nearer by the reveal, so its blur is overstated by reveal / distance).
KERNEL float window_sun_share(vec3 p, vec3 to_sun, vec2 opening_lo, vec2 opening_hi, vec2 glass_lo, vec2 glass_hi,
                              float reveal, float radius) {
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
  float blur = reach * radius / out_going;
  return rect_share(crossing, lo, hi, blur * sqrt(out_going * out_going + to_sun.x * to_sun.x),
                    blur * sqrt(out_going * out_going + to_sun.y * to_sun.y));
}
