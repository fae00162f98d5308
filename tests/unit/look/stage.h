// A room, its light, one relief and one paint, put together by hand for the look tests.
#pragma once
#include <functional>
#include <stdexcept>

#include "base/units.h"
#include "kernel/relief.h"
#include "look/look.h"
#include "look/table.h"

namespace rakelight::testing {

/// 4 × 6 × 2.6 m: walls A (x = 0, its x along plan +y), B (y = 6), C (x = 4), D (y = 0), ceiling, floor.
struct Stage {
  Job job;
  Room room;
  Lighting lighting;
  std::vector<Relief> reliefs;
  std::vector<Paint> paints;

  explicit Stage(std::vector<WindowSpec> windows = {}, std::vector<dvec2> corners = {{0, 0}, {0, 6}, {4, 6}, {4, 0}},
                 std::vector<int> fields = {}, SkyState sky = {}) {
    job.room.corners = Key<std::vector<dvec2>>(corners);
    for (std::size_t i = 0; i < corners.size(); ++i)
      job.room.walls.push_back(Key<std::string>(std::string(1, static_cast<char>('A' + i))));
    job.room.height = 2.6;
    job.room.floor_reflectance = 0.25;
    job.room.wall_reflectance = 0.8;
    job.room.ceiling_reflectance = 0.85;
    job.site.skyline = sky.skyline;
    job.windows = std::move(windows);
    Diagnostics diagnostics;
    auto made = make_room(job, diagnostics);
    if (!made) throw std::runtime_error(diagnostics.to_text("stage", ""));
    room = *made;
    LightDetail detail;
    detail.patch = 0.5;
    detail.fields = std::move(fields);
    Moment moment;
    moment.sky = sky;
    lighting = make_lighting(job, room, make_basis(job, room, detail), moment);
    lighting.room = &room;
    reliefs.resize(room.surfaces.size());
    paints.assign(room.surfaces.size(), lambert(0.8));
  }
  Stage(const Stage&) = delete;
  Stage& operator=(const Stage&) = delete;

  /// A coat of index 1 reflects nothing, so the base alone remains.
  static Paint lambert(double reflectance) {
    Paint p;
    p.reflectance = reflectance;
    p.index = 1;
    return p;
  }
  static Paint named(const std::string& name, double reflectance) {
    PaintSpec spec;
    spec.name = Key<std::string>(name);
    return make_paint(spec, reflectance);
  }
  void paint(const Paint& p) { paints.assign(room.surfaces.size(), p); }
  /// Every face at radiance 1.
  void even_light(double radiance = 1) {
    lighting.patch_exitance.assign(lighting.patch_exitance.size(), radiance * pi);
    lighting.cell_exitance.assign(lighting.cell_exitance.size(), radiance * pi);
    lighting.uneven.clear();
  }
  Scene scene() const { return make_scene(room, lighting, reliefs, paints); }
  std::vector<ContrastProfile> profiles(int surface, const std::vector<double>& stations, dvec3 eye) const {
    return contrast_across(scene(), lighting, room, surface, reliefs[static_cast<std::size_t>(surface)], 0, stations, eye);
  }
};

/// A lamp so far off that its light is collimated: `lux` square to the beam at any point of the room.
inline Lamp far_lamp(dvec3 direction, double lux = 1000) {
  constexpr double far = 1e6;
  Lamp lamp;
  lamp.at = far * glm::normalize(direction);
  lamp.aim = -glm::normalize(direction);
  lamp.exponent = 0;
  lamp.peak = lux * far * far;
  lamp.size = 0;
  return lamp;
}

struct HeightAndSlope { double h, slope; };

/// A joint on a face with a section of any shape over [−half, half].
inline PlacedJoint shaped_joint(int surface, dvec2 from, dvec2 to, double half, double step,
                                const std::function<HeightAndSlope(double)>& shape) {
  PlacedJoint j;
  j.line.surface = surface;
  j.line.from = from;
  j.line.to = to;
  j.line.room_left = j.line.room_right = half + 0.05;
  j.section.first = -half;
  j.section.step = step;
  const int n = static_cast<int>(std::lround(2 * half / step)) + 1;
  std::vector<double> height, slope;
  for (int i = 0; i < n; ++i) {
    const auto v = shape(-half + i * step);
    height.push_back(v.h);
    slope.push_back(v.slope);
  }
  j.section.height = std::move(height);
  j.section.slope = std::move(slope);
  j.section.left = -half;
  j.section.right = half;
  return j;
}

inline PlacedJoint raised_cosine(int surface, dvec2 from, dvec2 to, double crown, double half, double step = 0.5e-3) {
  return shaped_joint(surface, from, to, half, step, [=](double u) {
    return HeightAndSlope{0.5 * crown * (1 + std::cos(pi * u / half)), -0.5 * crown * pi / half * std::sin(pi * u / half)};
  });
}

/// Largest and smallest contrast of a profile.
struct Extremes { double most = 0, least = 0; };
inline Extremes extremes(const ContrastProfile& p) {
  Extremes e;
  for (const double c : p.contrast) {
    e.most = std::max(e.most, c);
    e.least = std::min(e.least, c);
  }
  return e;
}

}  // namespace rakelight::testing
