// passes/corners_body.glsl as a compute shader. A group of threads looks first along the rays of the four outermost corners of
// its square of sixteen by sixteen: where they meet one face of a convex room, and neither a lamp nor an opening of that face lies
// between them, all that are between them see that face too, and need not be looked along.
#include "passes/corners_body.glsl"
#define GROUP_WIDE 8
#define GROUP_HIGH 8
#include "passes/compute.glsl"

layout(r32f, binding = 0) uniform writeonly image2D target;

const int square_side = 16;      // of the corners that a group looks along; two by two a thread
shared vec3 outer_towards[4];    // unit
shared vec4 outer_seen[4];       // id, surface, place on it
shared int whole_square;

// Whether the rays between the four, of which all meet the face `surface`, see nothing else.
bool sees_face_alone(int surface) {
  vec2 lo = min(min(outer_seen[0].zw, outer_seen[1].zw), min(outer_seen[2].zw, outer_seen[3].zw)) - 0.001;
  vec2 hi = max(max(outer_seen[0].zw, outer_seen[1].zw), max(outer_seen[2].zw, outer_seen[3].zw)) + 0.001;
  vec4 box = surface_at(surface, 4);
  if (lo.x < box.x || lo.y < box.y || hi.x > box.z || hi.y > box.w) return false;
  int windows = window_count();
  for (int i = 0; i < windows; i++) {
    vec4 opening = window_at(i, 1);
    if (whole(window_at(i, 0).x) == surface && hi.x >= opening.x && hi.y >= opening.y && lo.x <= opening.z && lo.y <= opening.w) return false;
  }
  int doors = door_count();
  for (int i = 0; i < doors; i++) {
    vec4 opening = door_at(i, 1);
    if (whole(door_at(i, 0).x) == surface && hi.x >= opening.x && hi.y >= opening.y && lo.x <= opening.z && lo.y <= opening.w) return false;
  }
  // the cone about the four, and the ball about each lamp's opening
  vec3 middle = normalize(outer_towards[0] + outer_towards[1] + outer_towards[2] + outer_towards[3]);
  float widest = 0.0;
  for (int k = 0; k < 4; k++) widest = max(widest, length(cross(middle, outer_towards[k])));
  int lamps = lamp_count();
  for (int i = 0; i < lamps; i++) {
    vec3 to = lamp_at(i, 0).xyz - eye;
    float away = length(to);
    float radius = 0.001 + 0.5 * max(lamp_at(i, 0).w, length(lamp_at(i, 4).xyz));
    if (away <= radius) return false;
    if (dot(middle, to) > 0.0 && asin(clamp(length(cross(middle, to)) / away, 0.0, 1.0)) <= asin(min(widest, 1.0)) + asin(radius / away)) return false;
  }
  return true;
}

void main() {
  ivec2 first = tile.xy + square_side * ivec2(gl_WorkGroupID.xy);
  int thread = int(gl_LocalInvocationIndex);
  if (thread < 4) {
    Ray ray = picture_ray(vec2(first + (square_side - 1) * ivec2(thread % 2, thread / 2)));
    Seen seen = look_along(ray);
    outer_towards[thread] = ray.w;
    outer_seen[thread] = vec4(id_of(seen), seen.lamp < 0 && seen.hit.kind == 1 ? float(seen.hit.surface) : -1.0, seen.hit.p);
  }
  barrier();
  if (thread == 0) {
    float surface = outer_seen[0].y;
    bool one = room_convex() && surface >= 0.0 && outer_seen[1].y == surface && outer_seen[2].y == surface && outer_seen[3].y == surface;
    whole_square = 0;
    if (one) whole_square = sees_face_alone(int(surface)) ? 1 : 0;
  }
  barrier();
  for (int k = 0; k < 4; k++) {
    ivec2 at = first + ivec2(gl_LocalInvocationID.xy) + 8 * ivec2(k % 2, k / 2);
    if (at.x < tile.z && at.y < tile.w) {
      float id = outer_seen[0].x;
      if (whole_square == 0) id = corner_seen(at).x;
      imageStore(target, at, vec4(id, 0.0, 0.0, 0.0));
    }
  }
}
