// Pixels that something else than a face fills, once; those with an edge at four points, averaged in light.
#include "passes/pixels.glsl"

// What is seen, with relief and as if flat, and how far compound covers it.
vec3 covered(Shaded s, float cover) { return vec3(s.luminance, s.flat_luminance, cover); }
vec3 shade_seen(vec2 at, Ray ray, Seen seen, float share) {
  if (seen.lamp >= 0) return covered(even_shade(lamp_face(seen.lamp, ray.w)), 0.0);
  SceneHit hit = seen.hit;
  if (hit.kind != 1 || !has_field(hit.surface)) return covered(plain_shade(hit, ray.w), 0.0);
  float side = hit.surface == facing ? footprint : footprint_angle * (ray.skipped + hit.range);
  Place place = place_of(hit.surface, hit.p, eye);
  if (place.eye.z <= 0.0) return covered(even_shade(0.0), 0.0);
  Facet facet = scene_relief(hit.surface, hit.p, side * share);
  return covered(shade_face(place, field_light(hit.surface, hit.p), facet, meet_plane(hit.surface, at), share, false).shaded, facet.cover);
}

// One of a pixel's points: what shade_seen says, and the id.
vec4 mixed_point(ivec2 pixel, bool edge, int i) {
  vec4 rows = vec4(2.0, 0.0, 3.0, 1.0);
  // four points of a rotated grid, so that level and upright edges get four steps too
  vec2 at = vec2(pixel) + (edge ? 0.125 + 0.25 * vec2(float(i), rows[i]) : vec2(0.5));
  Ray ray = picture_ray(at);
  Seen seen = look_along(ray);
  return vec4(shade_seen(at, ray, seen, edge ? 0.5 : 1.0), id_of(seen));
}
