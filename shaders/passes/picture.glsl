// One pixel of the picture: luminance with relief and as if flat, cd/m2. Pixels whose four corners see different
// things are shaded at four points and averaged in light; all others once, with slopes averaged over the pixel.
#include "passes/rays.glsl"
#include "kernels/glass.glsl"
#include "kernels/sun.glsl"
#include "kernels/lamp.glsl"
#include "kernels/window.glsl"
#include "kernels/shade.glsl"

uniform sampler2D corner_ids;
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

Shaded shade_seen(Ray ray, Seen seen, float share) {
  if (seen.lamp >= 0) return even_shade(lamp_face(seen.lamp, ray.w));
  SceneHit hit = seen.hit;
  if (hit.kind != 1 || !has_field(hit.surface)) return plain_shade(hit, ray.w);
  float side = hit.surface == facing ? footprint : footprint_angle * (ray.skipped + hit.range);
  return shade_point(hit.surface, hit.p, eye, side * share, field_light(hit.surface, hit.p));
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
    vec2 at = edge ? 0.125 + 0.25 * vec2(float(i), rows[i]) : vec2(0.5);
    Ray ray = picture_ray(vec2(pixel) + at);
    Shaded s = shade_seen(ray, look_along(ray), edge ? 0.5 : 1.0);
    sum += vec2(s.luminance, s.flat_luminance);
  }
  if (edge) id = id_of(look_along(picture_ray(vec2(pixel) + 0.5)));
  result = vec4(sum / float(samples), id, edge ? 1.0 : 0.0);
}
