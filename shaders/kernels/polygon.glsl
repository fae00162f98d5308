// Light vectors of uniform polygons and discs (Lambert 1760; Gershun 1936; Howell C-11, C-21, C-22, C-25).
//
// The light vector of a polygon of luminance L seen from the origin is L times the sum of polygon_edge over its
// edges, vertices given relative to the receiving point. It points to the polygon when u x v of its vertex order
// points away from the receiver, and from it otherwise. Its part along a face's normal is the illuminance only
// while the whole polygon stands above that face: clip to the horizon first.

// Edge term theta * Gamma / 2: theta the angle under which the edge a, b is seen, Gamma the unit normal of the
// plane through the edge and the receiver. The angle is taken by atan2: acos loses 3e-4 on a window in float.
KERNEL vec3 polygon_edge(vec3 a, vec3 b) {
  vec3 c = cross(a, b);
  float s = length(c);
  float k = dot(a, b);
  // an edge seen end on, or a receiver on the edge's line, has no plane and adds nothing
  if (s <= 1e-30) {
    return vec3(0.0, 0.0, 0.0);
  }
  return (0.5 * atan(s, k) / s) * c;
}

// Light vector of a uniform disc of luminance 1, exact for a receiver anywhere in front of it (Howell C-22 for the
// part along the axis, C-25 for the part across it, with the cancelling terms multiplied out so that float keeps
// its digits for small far discs). to_centre: from the receiver; facing: unit normal of the disc's bright side.
KERNEL vec3 disc_vector(vec3 to_centre, vec3 facing, float radius) {
  float h = -dot(to_centre, facing);
  if (h <= 0.0) {
    return vec3(0.0, 0.0, 0.0);
  }
  vec3 across = to_centre + h * facing;
  float a2 = dot(across, across);
  float r2 = radius * radius;
  float s = a2 + h * h + r2;
  float d = sqrt(max(s * s - 4.0 * a2 * r2, 0.0));
  float common_factor = 3.14159265358979324 * r2 / (d * (d + s));
  return common_factor * (2.0 * h * across - (d + s - 2.0 * a2) * facing);
}
