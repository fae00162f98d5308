// Rays of the picture and what they meet; shared by the passes. See src/draw/camera.h.
#include "passes/scene_table.glsl"
#include "kernels/maths.glsl"
#include "kernels/sky.glsl"
#include "kernels/field.glsl"
#include "kernels/sheen.glsl"
#include "kernels/relief.glsl"
#include "kernels/substrate.glsl"
#include "kernels/scene.glsl"
#include "kernels/sun.glsl"
#include "kernels/window.glsl"
#include "kernels/trace.glsl"

uniform vec3 eye;
uniform vec3 corner;
uniform vec3 step_x;
uniform vec3 step_y;
uniform int facing;

const int seen_lamp = 6;

struct Ray {
  vec3 origin;
  vec3 w;
  float skipped;   // distance from the eye to origin
};

// Whether a point of the plane of a face lies on that face.
bool on_face(int surface, vec3 world) {
  FaceFrame frame = surface_frame(surface);
  if (whole(surface_at(surface, 0).w) == 0) {
    vec3 p = face_from_world(frame, world);
    return inside_box(p.xy, surface_at(surface, 4));
  }
  bool inside = false;
  int n = corner_count();
  vec2 b = corner_at(n - 1);
  int i = 0;
  do {
    vec2 a = corner_at(i);
    if ((a.y > world.y) != (b.y > world.y) && world.x < a.x + (world.y - a.y) / (b.y - a.y) * (b.x - a.x)) inside = !inside;
    b = a;
    i++;
  } while (i < n);
  return inside;
}

// at: pixels from the top left corner of the picture.
Ray picture_ray(vec2 at) {
  vec3 towards = corner + at.x * step_x + at.y * step_y;
  float reach = length(towards);
  Ray ray;
  ray.origin = eye;
  ray.w = towards / reach;
  ray.skipped = 0.0;
  // a surface seen square-on is never hidden: rays that end on it start just in front of it
  if (facing >= 0 && on_face(facing, eye + towards)) {
    float inwards = -dot(ray.w, surface_frame(facing).n);
    ray.skipped = max(reach - 0.005 / inwards, 0.0);
    ray.origin = eye + ray.skipped * ray.w;
  }
  return ray;
}

struct Seen {
  SceneHit hit;
  int lamp;        // -1: none before the hit
};

// Whether a point of the plane of a lamp's opening, from its middle, lies on the opening.
bool on_opening(vec3 d, vec3 aim, int lamp) {
  vec3 sides = lamp_at(lamp, 4).xyz;
  if (sides == vec3(0.0)) return length(d) < 0.5 * lamp_at(lamp, 0).w;
  vec3 x = lamp_at(lamp, 3).xyz;
  return abs(dot(d, x)) < 0.5 * sides.x && abs(dot(d, cross(x, aim))) < 0.5 * sides.y;
}

Seen look_along(Ray ray) {
  Seen seen;
  seen.hit = scene_trace(ray.origin, ray.w);
  seen.lamp = -1;
  // ground, skyline, sky, eaves and fins seen through glass part at edges as sharp as a frame's; ground in the shade is 5
  if (seen.hit.kind == 4) {
    Beyond b = beyond_glass(seen.hit.window, seen.hit.p, face_direction(surface_frame(seen.hit.surface), ray.w), ray.w);
    seen.hit.part = b.kind == 0 && b.away < window_at(seen.hit.window, 7).w ? 5 : b.kind;
  }
  float nearest = seen.hit.range + 0.002;   // lamps let into the ceiling lie in its plane
  int lamps = lamp_count();
  if (lamps < 1) return seen;
  int i = 0;
  do {
    vec4 place = lamp_at(i, 0);
    vec3 aim = lamp_at(i, 1).xyz;
    float towards = dot(ray.w, aim);
    if (abs(towards) > 1.0e-6) {
      float t = dot(place.xyz - ray.origin, aim) / towards;
      if (t > 0.0 && t < nearest && on_opening(ray.origin + t * ray.w - place.xyz, aim, i)) {
        nearest = t;
        seen.lamp = i;
      }
    }
    i++;
  } while (i < lamps);
  return seen;
}

// A whole number that differs wherever pictures have an edge: kind, part, surface, window or door, lamp.
float id_of(Seen seen) {
  if (seen.lamp >= 0) return float(seen_lamp + 8 * seen.lamp);
  SceneHit hit = seen.hit;
  return float(hit.kind + 8 * (hit.part + 8 * ((hit.surface + 1) + 256 * (hit.window + 1))));
}
