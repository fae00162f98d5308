// One pixel of the picture: luminance with relief and as if flat, cd/m2. Pixels whose four corners see different
// things are shaded at four points and averaged in light; all others once, with slopes averaged over the pixel.
#include "passes/shading.glsl"

uniform sampler2D corner_ids;
uniform sampler2D coarse_sheen;
uniform bool every_sheen;        // shades everything at every pixel, for checks
uniform float footprint;         // side of a pixel on the surface seen square-on, m
uniform float footprint_angle;   // side of a pixel, rad
out vec4 result;

float corner_id(ivec2 at) { return texelFetch(corner_ids, at, 0).x; }

// Of a lamp's opening: its intensity over its area as seen from the eye; dark from behind.
float lamp_face(int lamp, vec3 w) {
  float towards = -dot(w, lamp_at(lamp, 1).xyz);
  if (towards <= 0.0) return 0.0;
  float radius = 0.5 * lamp_at(lamp, 0).w;
  float area = 3.141592653589793 * radius * radius * max(towards, 0.02);
  return lamp_intensity(towards, lamp_at(lamp, 2).x, lamp_at(lamp, 1).w) / area;
}

struct FlatSheen {
  bool known;
  float value;
};

// The flat face's sheen between the nodes of the coarse grid, where all four lie on the same face and so close
// together that a straight line is within 5e-5 of `base`, the face's other luminance.
FlatSheen between_nodes(vec2 at, float id, float base) {
  ivec2 cell = ivec2(at) / sheen_spacing;
  vec2 t = at / float(sheen_spacing) - vec2(cell);
  vec4 a = texelFetch(coarse_sheen, cell, 0);
  vec4 b = texelFetch(coarse_sheen, cell + ivec2(1, 0), 0);
  vec4 c = texelFetch(coarse_sheen, cell + ivec2(0, 1), 0);
  vec4 d = texelFetch(coarse_sheen, cell + ivec2(1, 1), 0);
  float most = max(max(a.y, b.y), max(c.y, d.y));
  float least = min(min(a.y, b.y), min(c.y, d.y));
  FlatSheen sheen;
  // a smooth function that changes by the share r over a cell bends by about r squared over eight
  sheen.known = a.x == id && b.x == id && c.x == id && d.x == id &&
                square(most - least) < 8.0 * 5.0e-5 * abs(most) * (base + most);
  sheen.value = mix(mix(a.y, b.y, t.x), mix(c.y, d.y, t.x), t.y);
  return sheen;
}

Shaded shade_seen(Ray ray, Seen seen, vec2 at, float share, bool edge) {
  if (seen.lamp >= 0) return even_shade(lamp_face(seen.lamp, ray.w));
  SceneHit hit = seen.hit;
  if (hit.kind != 1 || !has_field(hit.surface)) return plain_shade(hit, ray.w);
  float side = hit.surface == facing ? footprint : footprint_angle * (ray.skipped + hit.range);
  Place place = place_of(hit.surface, hit.p, eye);
  vec4 light = field_light(hit.surface, hit.p);
  FlatSheen sheen = FlatSheen(false, 0.0);
  if (!edge && !every_sheen) sheen = between_nodes(at, id_of(seen), place.coat.base * light.z / 3.141592653589793);
  return shade_facet_on(place, light, scene_relief(hit.surface, hit.p, side * share), sheen.known, sheen.value);
}

void main() {
  vec4 rows = vec4(2.0, 0.0, 3.0, 1.0);
  ivec2 pixel = ivec2(gl_FragCoord.xy);
  float id = corner_id(pixel);
  bool edge = id != corner_id(pixel + ivec2(1, 0)) || id != corner_id(pixel + ivec2(0, 1)) || id != corner_id(pixel + ivec2(1, 1));
  int samples = edge ? 4 : 1;
  vec2 sum = vec2(0.0);
  for (int i = 0; i < samples; i++) {
    // four points of a rotated grid, so that level and upright edges get four steps too
    vec2 at = vec2(pixel) + (edge ? 0.125 + 0.25 * vec2(float(i), rows[i]) : vec2(0.5));
    Ray ray = picture_ray(at);
    Seen seen = look_along(ray);
    if (i == 0) id = id_of(seen);
    Shaded s = shade_seen(ray, seen, at, edge ? 0.5 : 1.0, edge);
    sum += vec2(s.luminance, s.flat_luminance);
  }
  result = vec4(sum / float(samples), id, edge ? 1.0 : 0.0);
}
