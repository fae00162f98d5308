// Tabulated intensity distributions (from LM-63 or EULUMDAT files), for whoever provides the hook vec4 scene_row(int i);
// needs lamp.glsl before it. Row layout of a table, angles in rad:
//   0  gamma of the first column, step, columns, least gamma at which anything shines (the table ends there)
//   1  C of the first plane, step, planes, span of C that the planes stand for: 0 (one plane), pi/2, pi or 2 pi
//   2  candela, four a row, plane by plane
// gamma is the angle from the aim; C runs from the lamp's x towards its y. Between nodes: bilinear; outside gamma: nothing.

KERNEL float distribution_value(int first, int index) {
  int row = index / 4;
  int at = index - 4 * row;
  vec4 four = scene_row(first + 2 + row);
  return at < 2 ? (at == 0 ? four.x : four.y) : (at == 2 ? four.z : four.w);
}

// C folded into the planes that a symmetric file gives: a quarter or a half stands for its mirror images.
KERNEL float distribution_fold(float c, float span) {
  float turn = 6.283185307179586;
  float u = c - turn * floor(c / turn);
  if (span > 5.0) {
    return u;
  }
  u = min(u, turn - u);
  if (span < 2.0) {
    u = min(u, 3.141592653589793 - u);
  }
  return u;
}

KERNEL float distribution_candela(int first, float gamma, float c) {
  vec4 columns = scene_row(first);
  vec4 planes = scene_row(first + 1);
  float last = columns.z - 1.0;
  float g = (gamma - columns.x) / columns.y;
  if (g < -1.0e-6 || g > last + 1.0e-6) {
    return 0.0;
  }
  g = clamp(g, 0.0, last);
  int column = int(min(floor(g), last - 1.0));
  float t = g - float(column);
  int per_plane = int(columns.z + 0.5);
  float s = 0.0;
  int plane = 0;
  int next = 0;
  if (planes.w > 0.5) {
    float u = clamp(distribution_fold(c - planes.x, planes.w) / planes.y, 0.0, planes.z - 1.0);
    plane = int(min(floor(u), planes.z - 2.0));
    next = plane + 1;
    s = u - float(plane);
  }
  int a = plane * per_plane + column;
  int b = next * per_plane + column;
  float on_plane = (1.0 - t) * distribution_value(first, a) + t * distribution_value(first, a + 1);
  if (s <= 0.0) {
    return on_plane;
  }
  return (1.0 - s) * on_plane + s * ((1.0 - t) * distribution_value(first, b) + t * distribution_value(first, b + 1));
}

// Intensity of a lamp towards w (unit, from the lamp), cd.
KERNEL float lamp_candela(LampForm l, vec3 w) {
  float mu = dot(w, l.aim);
#ifdef ONLY_COSINES
  return lamp_intensity(mu, l.peak, l.exponent);
#else
  if (l.table < 0) {
    return lamp_intensity(mu, l.peak, l.exponent);
  }
  float x = dot(w, l.x);
  float y = dot(w, l.y);
  float across = sqrt(x * x + y * y);
  float c = 0.0;
  if (across > 1.0e-6) {
    c = atan(y, x);
  }
  return l.peak * distribution_candela(l.table, atan(across, mu), c);
#endif
}

// Light vector that a part sends: intensity over distance squared, towards it.
KERNEL vec3 lamp_part_light(LampForm l, LampPart part) {
  float d2 = dot(part.to, part.to);
  if (d2 <= 0.0 || part.share <= 0.0) {
    return vec3(0.0, 0.0, 0.0);
  }
  vec3 towards = part.to / sqrt(d2);
  return (part.share * lamp_candela(l, -towards) / d2) * towards;
}
