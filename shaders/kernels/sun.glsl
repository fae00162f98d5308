// The sun as a uniform disc: how much of it stands above an edge, what a facet gets near its terminator, and
// what passes a rectangular opening. Needs nothing included before it.

// Angular radius of the sun's disc, rad: 0.2665 degrees (mean of the year; it varies by 1.7 %).
KERNEL float sun_radius() { return 0.0046513024; }

// Share of a disc of radius 1 above a straight edge, its centre x radii above the edge: 0 at x <= -1, 1 at
// x >= 1. The area of a circular segment, [acos(-x) + x sqrt(1 - x^2)] / pi.
KERNEL float disc_share(float x) {
  if (x <= -1.0) return 0.0;
  if (x >= 1.0) return 1.0;
  float half_chord = sqrt((1.0 - x) * (1.0 + x));
  return (atan(half_chord, -x) + x * half_chord) / 3.141592653589793;
}

// E / E_normal on a facet to which the centre of a disc of angular radius `radius` (rad, small) has elevation
// gamma (rad): the mean of max(0, cos) over the disc, which is
// (s/pi) [x acos(-x) + sqrt(1 - x^2) (2 + x^2) / 3] with x = gamma / s while the disc crosses the facet's plane,
// sin gamma above, 0 below. Sines stand for the angles so that the pieces join exactly (a change of s^2/6, 4e-6).
KERNEL float disc_terminator(float gamma, float radius) {
  float x = sin(gamma) / sin(radius);
  if (x <= -1.0) return 0.0;
  if (x >= 1.0) return sin(gamma);
  float half_chord = sqrt((1.0 - x) * (1.0 + x));
  return sin(radius) / 3.141592653589793 * (x * atan(half_chord, -x) + half_chord * (2.0 + x * x) / 3.0);
}

// Share of the disc between two parallel edges lo < hi, seen from p; blur is the disc's projected radius.
KERNEL float slot_share(float p, float lo, float hi, float blur) {
  // keeps a point source (blur 0) a clean step
  float radius = max(blur, 1.0e-9);
  return disc_share((p - lo) / radius) - disc_share((p - hi) / radius);
}

// Share of the disc that passes the rectangle lo..hi. p is where the ray to the disc's centre crosses the
// rectangle's plane, blur_x and blur_y the half-axes of the disc's projection there, all in one unit. Exact while
// the disc crosses edges of one axis only; about a corner the two axes are multiplied as if independent, which is
// off by at most 0.014.
KERNEL float rect_share(vec2 p, vec2 lo, vec2 hi, float blur_x, float blur_y) {
  return slot_share(p.x, lo.x, hi.x, blur_x) * slot_share(p.y, lo.y, hi.y, blur_y);
}
