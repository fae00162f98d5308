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

// Of a lamp's opening: its intensity over its area as seen from the eye.
float lamp_face(int lamp, vec3 w) {
  FaceFrame plan = FaceFrame(vec3(0.0), vec3(1.0, 0.0, 0.0), vec3(0.0, 1.0, 0.0), vec3(0.0, 0.0, 1.0));
  LampForm l = face_lamp(plan, lamp);
  bool disc = l.sides == vec3(0.0);
  float area = disc ? 0.785398163397448 * l.size * l.size : l.sides.x * l.sides.y;
  return lamp_candela(l, -w) / (area * max(abs(dot(w, l.aim)), 0.02));
}

struct FlatSheen {
  bool known;
  float value;
};

float node_of(ivec2 cell, int i, int j, float id) {
  // the grid starts one node before the picture; a node on another face makes the cell useless
  vec4 node = texelFetch(coarse_sheen, cell + ivec2(i, j), 0);
  return node.x == id ? node.y : 1.0e30;
}
float bend(vec4 v) { return max(abs(v.x - 2.0 * v.y + v.z), abs(v.y - 2.0 * v.z + v.w)); }

// The flat face's sheen between the nodes of the coarse grid, by Catmull-Rom (the field's weights), where all sixteen
// lie on the same face and no second difference reaches 1e-3 of the face's luminance: `base` and sheen. A straight
// line is then within 1.3e-4, and the cubic, even across a kink in the middle of a cell, within 1.5e-3. Only for points
// that no joint is near: there relief and flat are one, so contrast takes no part in the error.
FlatSheen between_nodes(vec2 at, float id, float base) {
  ivec2 cell = ivec2(at) / sheen_spacing;
  vec2 t = at / float(sheen_spacing) - vec2(cell);
  vec4 wx = cubic_weights(t.x);
  vec4 wy = cubic_weights(t.y);
  vec4 down = vec4(0.0);
  vec4 up_left = vec4(0.0);
  vec4 up_right = vec4(0.0);
  float most = 0.0;
  for (int j = 0; j < 4; j++) {
    vec4 row = vec4(node_of(cell, 0, j, id), node_of(cell, 1, j, id), node_of(cell, 2, j, id), node_of(cell, 3, j, id));
    most = max(most, bend(row));
    up_left[j] = row.y;
    up_right[j] = row.z;
    down[j] = dot(wx, row);
  }
  most = max(most, max(bend(up_left), bend(up_right)));
  FlatSheen sheen;
  sheen.value = dot(wy, down);
  sheen.known = most < 1.0e-3 * (base + up_left.y);
  return sheen;
}

Shaded shade_seen(Ray ray, Seen seen, vec2 at, float share, bool edge) {
  if (seen.lamp >= 0) return even_shade(lamp_face(seen.lamp, ray.w));
  SceneHit hit = seen.hit;
  if (hit.kind != 1 || !has_field(hit.surface)) return plain_shade(hit, ray.w);
  float side = hit.surface == facing ? footprint : footprint_angle * (ray.skipped + hit.range);
  Place place = place_of(hit.surface, hit.p, eye);
  vec4 light = field_light(hit.surface, hit.p);
  Facet facet = scene_relief(hit.surface, hit.p, side * share);
  FlatSheen sheen = FlatSheen(false, 0.0);
  if (!edge && !every_sheen && !facet.near) sheen = between_nodes(at, id_of(seen), place.coat.base * light.z / 3.141592653589793);
  return shade_facet_on(place, light, facet, sheen.known, sheen.value);
}

void main() {
  vec4 rows = vec4(2.0, 0.0, 3.0, 1.0);
  ivec2 pixel = ivec2(gl_FragCoord.xy);
  float id = corner_id(pixel);
  bool edge = id != corner_id(pixel + ivec2(1, 0)) || id != corner_id(pixel + ivec2(0, 1)) || id != corner_id(pixel + ivec2(1, 1));
  int samples = edge ? 4 : 1;
  vec2 sum = vec2(0.0);
  // The test stands at the loop's end here and in the kernels: a software rasteriser runs a body once more, masked,
  // when the test before it fails.
  int i = 0;
  while (true) {
    // four points of a rotated grid, so that level and upright edges get four steps too
    vec2 at = vec2(pixel) + (edge ? 0.125 + 0.25 * vec2(float(i), rows[i]) : vec2(0.5));
    Ray ray = picture_ray(at);
    Seen seen = look_along(ray);
    if (i == 0) id = id_of(seen);
    Shaded s = shade_seen(ray, seen, at, edge ? 0.5 : 1.0, edge);
    sum += vec2(s.luminance, s.flat_luminance);
    i++;
    if (i >= samples) break;
  }
  result = vec4(sum / float(samples), id, edge ? 1.0 : 0.0);
}
