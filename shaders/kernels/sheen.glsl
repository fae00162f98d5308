// Reflection by the coat over a diffuse base: microfacets of GGX form (Trowbridge & Reitz 1975; Walter et al. 2007),
// height-correlated Smith masking (Heitz 2014), exact Fresnel. Directions are unit vectors in the facet's frame, z its
// normal, both pointing away from it. Two lobes are blended, one fitted to the 60 degree and one to the 85 degree
// glossmeter; the blend is symmetric in light and eye, so the whole is reciprocal.
// Needs maths.glsl before it.

// Unpolarised reflectance of a dielectric of relative index `index` at the cosine of incidence c.
KERNEL float fresnel(float c, float index) {
  float g = sqrt(index * index - 1.0 + c * c);
  float a = (g - c) / (g + c);
  float b = ((g + c) * c - 1.0) / ((g - c) * c + 1.0);
  return 0.5 * a * a * (1.0 + b * b);
}

// Smith's lambda for a cosine mu in (0, 1].
KERNEL float smith_lambda(float mu, float alpha) {
  float m = max(mu, 1.0e-6);
  return 0.5 * (sqrt(1.0 + alpha * alpha * max(1.0 - m * m, 0.0) / (m * m)) - 1.0);
}

// f_r, 1/sr, of one lobe; 0 for directions below the facet.
KERNEL float ggx_reflection(vec3 light, vec3 eye, float alpha, float index) {
  if (light.z <= 0.0 || eye.z <= 0.0) return 0.0;
  vec3 half_way = normalize(light + eye);
  float c2 = half_way.z * half_way.z;
  float a2 = alpha * alpha;
  // 1 - c2 (1 - a2), written so that float keeps its digits near the mirror direction
  float base = half_way.x * half_way.x + half_way.y * half_way.y + c2 * a2;
  float density = a2 / (3.141592653589793 * base * base);
  float masking = 1.0 / (1.0 + smith_lambda(light.z, alpha) + smith_lambda(eye.z, alpha));
  return fresnel(dot(half_way, eye), index) * masking * density / (4.0 * light.z * eye.z);
}

// How much a direction at cosine mu from the *flat* wall's normal calls for the 85 degree lobe: 1 up to 10 degrees
// above the wall, 0 from 30 degrees on (the elevation of the 60 degree meter). Nobody has measured what lies between.
KERNEL float grazing_share(float mu) {
  float t = clamp((0.5 - mu) / (0.5 - 0.17364817766693036), 0.0, 1.0);
  return t * t * (3.0 - 2.0 * t);
}

// Weight of the 85 degree lobe for two directions' shares; the other lobe has the rest.
KERNEL float grazing_weight(float share_light, float share_eye) {
  return share_light + share_eye - share_light * share_eye;
}

// A microfacet normal out of the visible ones (Heitz 2018), as seen from `eye`, for a point (x, y) of the unit disc.
// The disc's axes turn with the facet, not with the plane of view (Duff et al. 2017's basis), so that the set stays put
// when the eye passes the normal.
struct LobeFrame {
  vec3 v;            // the eye, stretched
  vec3 t1;
  vec3 t2;
  float lambda;      // of the eye
};
KERNEL LobeFrame lobe_frame(vec3 eye, float alpha) {
  LobeFrame f;
  f.v = normalize(vec3(alpha * eye.x, alpha * eye.y, eye.z));
  float across2 = f.v.x * f.v.x + f.v.y * f.v.y;
  f.t1 = vec3(1.0, 0.0, 0.0);
  if (across2 > 1.0e-14) f.t1 = vec3(-f.v.y, f.v.x, 0.0) / sqrt(across2);
  f.t2 = cross(f.v, f.t1);
  f.lambda = smith_lambda(eye.z, alpha);
  return f;
}
KERNEL vec3 framed_normal(LobeFrame f, float alpha, float x, float y) {
  float fold = 1.0 / (1.0 + f.v.z);
  vec3 at = x * vec3(1.0 - f.v.x * f.v.x * fold, -f.v.x * f.v.y * fold, -f.v.x) +
            y * vec3(-f.v.x * f.v.y * fold, 1.0 - f.v.y * f.v.y * fold, -f.v.y);
  float p = dot(at, f.t1);
  float s = 0.5 * (1.0 + f.v.z);
  float q = (1.0 - s) * safe_sqrt(1.0 - p * p) + s * dot(at, f.t2);
  vec3 n = p * f.t1 + q * f.t2 + safe_sqrt(1.0 - p * p - q * q) * f.v;
  return normalize(vec3(alpha * n.x, alpha * n.y, max(n.z, 1.0e-7)));
}
KERNEL vec3 visible_normal(vec3 eye, float alpha, float x, float y) {
  return framed_normal(lobe_frame(eye, alpha), alpha, x, y);
}

// Node k of the fixed set of 32: four radii of equal area, eight even turns each, every other ring half a turn on; each
// ring is mirrored in both axes of the facet, so that a mirrored room has mirrored nodes.
struct LobeNode {
  vec3 light;      // where the light of this node comes from
  float weight;    // f_r mu over its density, to be averaged over the nodes
};
// The point of the unit disc that a node stands for.
KERNEL vec2 lobe_point(int k) {
  int ring = k / 8;
  int turn = k - 8 * ring;
  float r = sqrt((float(ring) + 0.5) / 4.0);
  float offset = ring == 1 || ring == 3 ? 0.0 : 0.5;
  float angle = (float(turn) + offset) * 0.7853981633974483;
  return vec2(r * cos(angle), r * sin(angle));
}
KERNEL LobeNode framed_node(LobeFrame f, vec2 point, vec3 eye, float alpha, float index) {
  vec3 h = framed_normal(f, alpha, point.x, point.y);
  LobeNode node;
  float c = dot(eye, h);
  node.light = 2.0 * c * h - eye;
  node.weight = 0.0;
  if (node.light.z > 0.0) node.weight = fresnel(c, index) * (1.0 + f.lambda) / (1.0 + f.lambda + smith_lambda(node.light.z, alpha));
  return node;
}
KERNEL LobeNode lobe_node(int k, vec3 eye, float alpha, float index) {
  return framed_node(lobe_frame(eye, alpha), lobe_point(k), eye, alpha, index);
}

// Slope (-h_x/h_z, -h_y/h_z)/alpha of the microfacets that send light from `light` to `eye`.
KERNEL vec2 mirror_slope(vec3 light, vec3 eye, float alpha) {
  vec3 h = light + eye;
  float z = max(h.z, 1.0e-6) * alpha;
  return vec2(-h.x / z, -h.y / z);
}

// One edge's part of the share of microfacets whose slopes, over alpha, lie in a polygon. GGX slopes have the density
// 1 / (pi (1 + r^2)^2), so by Green's theorem the share is the sum of (1/2pi) integral r^2/(1 + r^2) dphi along the
// edges, which for a straight edge at distance q from the origin is this closed form. Counter-clockwise is positive.
KERNEL float slope_edge(vec2 a, vec2 b) {
  vec2 e = b - a;
  float l = length(e);
  if (l <= 1.0e-12) return 0.0;
  float q = (a.x * b.y - a.y * b.x) / l;
  float s = sqrt(1.0 + q * q);
  float ta = dot(a, e) / l;
  float tb = dot(b, e) / l;
  return q / s * atan(s * (tb - ta), s * s + ta * tb) / 6.283185307179586;
}
KERNEL float slope_share(vec2 a, vec2 b, vec2 c, vec2 d) {
  return abs(slope_edge(a, b) + slope_edge(b, c) + slope_edge(c, d) + slope_edge(d, a));
}

// What turns that share into luminance per luminance of the source: F G2 (h.v) / (mu_o cos theta_h), smooth over a
// small source and taken at its middle. 0 below the facet.
KERNEL float share_factor(vec3 light, vec3 eye, float alpha, float index) {
  if (light.z <= 0.0 || eye.z <= 0.0) return 0.0;
  vec3 h = normalize(light + eye);
  float c = dot(h, eye);
  float masking = 1.0 / (1.0 + smith_lambda(light.z, alpha) + smith_lambda(eye.z, alpha));
  return fresnel(c, index) * masking * c / (eye.z * h.z);
}

// Roughness of a lobe lit by a disc of small angular radius instead of a point: the disc spreads the mirror slopes
// by half its radius, added in quadrature. Matters only where alpha is not large against `radius` (gloss in the sun).
KERNEL float widened(float alpha, float radius) { return sqrt(alpha * alpha + 0.25 * radius * radius); }

// A polynomial of degree 7 in x = 1 - mu, low powers first.
KERNEL float eighth(vec4 low, vec4 high, float x) {
  return low.x + x * (low.y + x * (low.z + x * (low.w + x * (high.x + x * (high.y + x * (high.z + x * high.w))))));
}

// The coat as seen from one direction: what the shading needs of a paint.
struct Coat {
  float alpha60;
  float alpha85;
  float index;
  float base;         // reflectance of the base under the coat, as if the coat let all light through evenly
  float mean_albedo;  // of the coat in even light
  vec4 a_low;         // albedo of the 60 degree lobe weighted by 1 - grazing_share(light)
  vec4 a_high;
  vec4 b_low;         // of the 85 degree lobe
  vec4 b_high;
  vec4 c_low;         // of the 85 degree lobe weighted by grazing_share(light)
  vec4 c_high;
};

// Albedo of the coat for a direction at cosine mu to the facet and grazing share g on the flat wall: even light
// from all round gives this share of it back in that direction.
KERNEL float coat_albedo(Coat coat, float mu, float g) {
  float x = clamp(1.0 - mu, 0.0, 1.0);
  float a = eighth(coat.a_low, coat.a_high, x);
  float b = eighth(coat.b_low, coat.b_high, x);
  float c = eighth(coat.c_low, coat.c_high, x);
  return clamp((1.0 - g) * (a + c) + g * b, 0.0, 1.0);
}
