// What the framing makes of a face: sheets bent over members that do not stand in one plane. Needs relief before it.
//
// A sheet screwed to members `spacing` apart bends over them like a thin beam: between two members it is the cubic through
// their heights with the slopes of the natural cubic spline through all of them (least bending). Each member stands off by
// a, and bows by b at the middle of its length: off by a + b · 4 s (1 − s), s in 0..1 along it. Heights and slopes of the
// spline are linear in those, so a member is one row (a, slope of the spline of a, b, slope of the spline of b) and
// everything is analytic. A sheet also sags between two members by the curve of a beam clamped at both, 16 t² (1 − t)².

struct Undulation {
  float height;
  float across;   // slope across the members
  float along;    // slope along them
};

// `before`, `after`: the rows of the members either side; t in 0..1 from one to the other, s in 0..1 along `span` (m).
KERNEL Undulation substrate_between(vec4 before, vec4 after, float spacing, float t, float s, float span, float sag) {
  float bow = 4.0 * s * (1.0 - s);
  HeightSlope off = hermite_height(before.x, before.y, after.x, after.y, spacing, t);
  HeightSlope bowed = hermite_height(before.z, before.w, after.z, after.w, spacing, t);
  float slack = t * (1.0 - t);
  Undulation u;
  u.height = off.height + bow * bowed.height - 16.0 * sag * slack * slack;
  u.across = off.slope + bow * bowed.slope - 32.0 * sag * slack * (1.0 - 2.0 * t) / spacing;
  u.along = 4.0 * (1.0 - 2.0 * s) / span * bowed.height;
  return u;
}
