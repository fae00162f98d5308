// Lamps: cos^n intensity, and the parts that stand for a luminous opening seen from near. An opening is a disc square
// to the aim, or a box; its parts all have the lamp's own distribution, and what lies below a receiving face's horizon
// is cut off. From ten times its size on a lamp is a point (0.2 % for a line that shines by the cosine).

// A lamp's intensity, cd: cos^n of the angle from its aim, nothing behind its opening.
// Flux of the lobe: 2 pi peak / (n + 1).
KERNEL float lamp_intensity(float cos_from_aim, float peak, float exponent) {
  if (cos_from_aim <= 0.0) {
    return 0.0;
  }
  return peak * pow(cos_from_aim, exponent);
}

// Light vector of a small lamp (or one part of a larger one): intensity over distance squared, towards the lamp.
KERNEL vec3 lamp_vector(vec3 to_lamp, vec3 aim, float peak, float exponent) {
  float d2 = dot(to_lamp, to_lamp);
  if (d2 <= 0.0) {
    return vec3(0.0, 0.0, 0.0);
  }
  float d = sqrt(d2);
  return (lamp_intensity(-dot(to_lamp, aim) / d, peak, exponent) / (d2 * d)) * to_lamp;
}

struct LampForm {
  vec3 at;
  vec3 aim;
  vec3 x;          // unit; towards C = 0, and along the first side of a box
  vec3 y;          // unit; towards C = 90, and along its second side
  vec3 sides;      // of a box along x, y and aim, m; all 0: a disc
  float size;      // a disc's diameter, a box's longest side, m
  float peak;      // cd; of a tabulated lamp the factor on its table
  float exponent;
  int table;       // first row of the distribution, -1: cos^n
};

KERNEL LampForm no_lamp() {
  LampForm l;
  l.at = vec3(0.0, 0.0, 0.0);
  l.aim = vec3(0.0, 0.0, -1.0);
  l.x = vec3(1.0, 0.0, 0.0);
  l.y = vec3(0.0, 1.0, 0.0);
  l.sides = vec3(0.0, 0.0, 0.0);
  l.size = 0.0;
  l.peak = 0.0;
  l.exponent = 0.0;
  l.table = -1;
  return l;
}

// x where a lamp does not say: level, whatever the aim.
KERNEL vec3 lamp_level_axis(vec3 aim) {
  vec3 helper = vec3(0.0, 0.0, 1.0);
  if (abs(aim.z) >= 0.9) {
    helper = vec3(1.0, 0.0, 0.0);
  }
  return normalize(cross(helper, aim));
}

// What a point with a normal sees of an opening.
struct LampView {
  vec3 to;         // from the point to the lamp's middle
  vec3 n;
  vec3 u;          // axes of the sides, the longer of x and y first
  vec3 v;
  vec3 w;
  vec3 sides;      // in that order
  int along_u;     // nodes along each
  int along_v;
  int count;       // parts in all; of a disc 1, 7 or 50
  bool box;
};

struct LampPart {
  vec3 to;         // from the point, m
  float share;     // of the lamp; 0: nothing of it is above the horizon
  float radius;    // half the angle that the part takes up, rad
  float rise;      // the same in elevation over the face
};

// Node k of Gauss-Legendre rules on [0, 1] with 2, 4 and 5 nodes (Abramowitz & Stegun 25.4.30): place and weight.
KERNEL vec2 lamp_gauss(int order, int k) {
  if (order == 2) {
    return vec2(k == 0 ? 0.21132486540518712 : 0.78867513459481288, 0.5);
  }
  if (order == 4) {
    float far = k == 0 || k == 3 ? 0.43056815579702629 : 0.16999052179242813;
    return vec2(k < 2 ? 0.5 - far : 0.5 + far, k == 0 || k == 3 ? 0.17392742256872693 : 0.32607257743127307);
  }
  if (k == 2) {
    return vec2(0.5, 0.28444444444444444);
  }
  float away = k == 0 || k == 4 ? 0.45308992296933200 : 0.26923465505284155;
  return vec2(k < 2 ? 0.5 - away : 0.5 + away, k == 0 || k == 4 ? 0.11846344252809454 : 0.23931433524968324);
}

// How many nodes a side needs from a distance to the nearest point of the box.
KERNEL int lamp_nodes(float side, float nearest, int order) {
  if (nearest >= 10.0 * side) {
    return 1;
  }
  if (nearest >= 1.5 * side) {
    return order;
  }
  return nearest >= 0.5 * side ? 2 * order : 4 * order;
}

KERNEL LampView lamp_view(LampForm l, vec3 p, vec3 n) {
  LampView v;
  v.to = l.at - p;
  v.n = n;
  v.box = l.sides.x > 0.0 || l.sides.y > 0.0 || l.sides.z > 0.0;
  v.u = l.x;
  v.v = l.y;
  v.w = l.aim;
  v.sides = l.sides;
  v.along_u = 1;
  v.along_v = 1;
  if (!v.box) {
    float distance_to = length(v.to);
    v.count = distance_to >= 10.0 * l.size ? 1 : (distance_to >= 2.0 * l.size ? 7 : 50);
    return v;
  }
  if (l.sides.y > l.sides.x) {
    v.u = l.y;
    v.v = l.x;
    v.sides = vec3(l.sides.y, l.sides.x, l.sides.z);
  }
  float du = max(abs(dot(v.to, v.u)) - 0.5 * v.sides.x, 0.0);
  float dv = max(abs(dot(v.to, v.v)) - 0.5 * v.sides.y, 0.0);
  float dw = max(abs(dot(v.to, v.w)) - 0.5 * v.sides.z, 0.0);
  float nearest = sqrt(du * du + dv * dv + dw * dw);
  v.along_u = lamp_nodes(v.sides.x, nearest, 4);
  v.along_v = lamp_nodes(v.sides.y, nearest, 2);
  v.count = v.along_u * v.along_v * lamp_nodes(v.sides.z, nearest, 2);
  return v;
}

// Part of a side, |s| <= side / 2, on which level + slope s > 0.
KERNEL vec2 lamp_range(float side, float level, float slope) {
  float lo = -0.5 * side;
  float hi = 0.5 * side;
  if (slope > 1.0e-9) {
    lo = max(lo, -level / slope);
  } else if (slope < -1.0e-9) {
    hi = min(hi, -level / slope);
  } else if (level <= 0.0) {
    hi = lo;
  }
  return vec2(lo, hi);
}

struct LampNode {
  float s;         // along the side, m from its middle
  float share;     // of the side
  float angle;     // taken up, seen from the point
};

// Node k of n along a side whose middle lies at `to`. With s = foot + off tan(angle) a line's 1/d2 cancels, so that few
// nodes in angle do at any distance: sum of I' cos^m over them is exact where cos^m is a polynomial of their degree.
KERNEL LampNode lamp_node(vec3 to, vec3 axis, float side, vec2 range, int order, int n, int k) {
  LampNode node;
  node.s = 0.0;
  node.share = 1.0;
  node.angle = 0.0;
  if (side <= 0.0) {
    return node;
  }
  node.share = 0.0;
  if (range.y <= range.x) {
    return node;
  }
  float foot = -dot(to, axis);
  float off = max(length(to + foot * axis), 0.001 * side);
  float from = atan((range.x - foot) / off);
  float wide = atan((range.y - foot) / off) - from;
  if (n == 1) {
    node.s = 0.5 * (range.x + range.y);
    node.share = (range.y - range.x) / side;
    node.angle = wide;
    return node;
  }
  int panel = k / order;
  vec2 gauss = lamp_gauss(order, k - order * panel);
  float step = wide * float(order) / float(n);
  float t = tan(from + (float(panel) + gauss.x) * step);
  node.s = foot + off * t;
  node.angle = gauss.y * step;
  node.share = node.angle * off * (1.0 + t * t) / side;
  return node;
}

// Part k of a disc: its middle; seven points exact for polynomials of degree 5 (Stroud 1971, S2 5-1); or fifty of degree
// 9, Gauss nodes in r2 because they give equal weight to equal areas.
KERNEL LampPart lamp_disc_part(LampForm l, LampView v, int k) {
  LampPart part;
  float distance_to = max(length(v.to), 1.0e-6);
  part.to = v.to;
  part.share = 1.0;
  part.radius = 0.5 * l.size / distance_to;
  part.rise = part.radius;
  if (v.count == 1) {
    return part;
  }
  // somewhat larger than a share of the area, so that images of parts run together
  part.radius = part.radius * sqrt(1.75 / float(v.count));
  if (v.count == 7) {
    part.share = k == 0 ? 0.25 : 0.125;
    if (k > 0) {
      float angle = float(k - 1) * 1.0471975511965976;
      part.to = v.to + 0.5 * l.size * 0.816496580927726 * (cos(angle) * l.x + sin(angle) * l.y);
    }
    return part;
  }
  int ring = k / 10;
  vec2 node = lamp_gauss(5, ring);
  float angle = (float(k - 10 * ring) + 0.5) * 0.62831853071795865;
  part.share = 0.1 * node.y;
  part.to = v.to + 0.5 * l.size * sqrt(node.x) * (cos(angle) * l.x + sin(angle) * l.y);
  return part;
}

KERNEL LampPart lamp_part(LampForm l, LampView v, int k) {
  if (!v.box) {
    return lamp_disc_part(l, v, k);
  }
  int rest = k / v.along_u;
  int ku = k - rest * v.along_u;
  int kw = rest / v.along_v;
  int kv = rest - kw * v.along_v;
  float nu = dot(v.u, v.n);
  float nv = dot(v.v, v.n);
  float nw = dot(v.w, v.n);
  float reach_u = 0.5 * abs(nu) * v.sides.x;
  float reach_v = 0.5 * abs(nv) * v.sides.y;
  LampPart part;
  part.to = v.to;
  LampNode w = lamp_node(part.to, v.w, v.sides.z, lamp_range(v.sides.z, dot(part.to, v.n) + reach_u + reach_v, nw), 2,
                         v.count / (v.along_u * v.along_v), kw);
  part.to += w.s * v.w;
  LampNode across = lamp_node(part.to, v.v, v.sides.y, lamp_range(v.sides.y, dot(part.to, v.n) + reach_u, nv), 2, v.along_v, kv);
  part.to += across.s * v.v;
  LampNode along = lamp_node(part.to, v.u, v.sides.x, lamp_range(v.sides.x, dot(part.to, v.n), nu), 4, v.along_u, ku);
  part.to += along.s * v.u;
  part.share = w.share * across.share * along.share;
  part.radius = 0.5 * max(along.angle, max(across.angle, w.angle));
  part.rise = 0.5 * (abs(nu) * along.angle + abs(nv) * across.angle + abs(nw) * w.angle);
  return part;
}
