// Small rooms and moments for the light tests, as plain values.
#pragma once
#include <stdexcept>
#include <string>
#include <vector>

#include "base/units.h"
#include "light/light.h"

namespace rakelight::testing {

inline Job plan_job(const std::vector<dvec2>& corners, double height) {
  Job job;
  job.room.corners = Key<std::vector<dvec2>>(corners);
  for (std::size_t i = 0; i < corners.size(); ++i) job.room.walls.push_back(Key<std::string>(std::string(1, static_cast<char>('A' + i))));
  job.room.height = height;
  job.room.floor_reflectance = 0.25;
  job.room.wall_reflectance = 0.8;
  job.room.ceiling_reflectance = 0.85;
  job.site.skyline = 3 * rad_per_deg;
  return job;
}

/// Walls A (x = 0, frame x along +y), B (y = y1), C (x = x1), D (y = 0).
inline Job box_job(double x, double y, double z) { return plan_job({{0, 0}, {0, y}, {x, y}, {x, 0}}, z); }

inline WindowSpec window_spec(const std::string& name, const std::string& wall, double left, double sill, double width, double height) {
  WindowSpec w;
  w.name = name;
  w.wall = wall;
  w.from_left = left;
  w.sill = sill;
  w.width = width;
  w.height = height;
  w.reveal = 0.18;
  w.reveal_reflectance = 0.7;
  w.frame = 0.07;
  w.glazing = Glass::double_pane;
  return w;
}

inline LampSpec lamp_spec(const std::string& name, dvec3 at, double flux, double beam_deg, double size = 0.08) {
  LampSpec l;
  l.name = name;
  l.kind = LampKind::downlight;
  l.position = at;
  l.aim = dvec3(0, 0, -1);
  l.size = size;
  l.flux = flux;
  l.beam = beam_deg * rad_per_deg;
  l.dim = 1.0;
  return l;
}

inline Room room_of(const Job& job) {
  Diagnostics d;
  auto room = make_room(job, d);
  if (!room) throw std::runtime_error("test room refused: " + d.to_text("test", ""));
  return *room;
}

/// The demo's size: a 6.2 m wall beside the window wall.
inline Job demo_job() {
  Job job = plan_job({{0, 0}, {0, 6.2}, {4.2, 6.2}, {4.2, 0}}, 2.65);
  job.windows.push_back(window_spec("W1", "B", 0.25, 0.8, 1.5, 1.5));
  job.lamps.push_back(lamp_spec("L1", {0.3, 3.0, 2.65}, 700, 60));
  return job;
}

/// Gives every patch and cell the same exitance.
inline void make_even(Lighting& l, double exitance) {
  for (double& m : l.patch_exitance) m = exitance;
  for (double& m : l.cell_exitance) m = exitance;
  l.uneven.clear();
}

/// A sky of uniform luminance, without sun.
inline Moment uniform_sky(const Job& job, double sky, double skyline, double ground) {
  Moment m;
  m.sky.dark = false;
  m.sky.zenith_luminance = sky;  // type 5
  m.sky.skyline = *job.site.skyline;
  m.sky.skyline_luminance = skyline;
  m.sky.ground_luminance = ground;
  m.lamp_on.assign(job.lamps.size(), false);
  return m;
}

/// ISO type 12 with the sun in a direction (plan axes); luminances of the order of a clear day.
inline Moment clear_sky(const Job& job, dvec3 to_sun, double direct_normal = 40000) {
  Moment m = uniform_sky(job, 3000, 1500, 2500);
  m.sky.iso_type = 12;
  m.sky.a = -1;
  m.sky.b = -0.32;
  m.sky.c = 10;
  m.sky.d = -3;
  m.sky.e = 0.45;
  m.sky.sun_direction = m.sky.indicatrix_sun = glm::normalize(to_sun);
  m.sky.sun_up = direct_normal > 0;
  m.sky.direct_normal = direct_normal;
  m.sky.zenith_luminance = 3000;
  return m;
}

inline Moment lamps_only(const Job& job) {
  Moment m;
  m.lamp_on.assign(job.lamps.size(), true);
  return m;
}

/// Howell C-11: an element square below the corner of a parallel rectangle a × b at distance c.
inline double parallel_factor(double a, double b, double c) {
  const double x = a / c, y = b / c, sx = std::sqrt(1 + x * x), sy = std::sqrt(1 + y * y);
  return (x / sx * std::atan(y / sx) + y / sy * std::atan(x / sy)) / (2 * pi);
}
/// Howell C-12: an element at distance c from an upright rectangle, in the plane of its foot and square before its corner;
/// a high and b wide.
inline double upright_factor(double a, double b, double c) {
  const double x = a / b, y = c / b, s = std::sqrt(x * x + y * y);
  return (std::atan(1 / y) - y / s * std::atan(1 / s)) / (2 * pi);
}

}  // namespace rakelight::testing
