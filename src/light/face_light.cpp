#include "light/face_light.h"

#include <algorithm>
#include <cassert>

#include "kernel/field.h"
#include "light/lamp.h"
#include "light/receiver.h"
#include "light/sun.h"

namespace rakelight {

struct FaceLight::State {
  const Lighting& lighting;
  const Surface& face;
  const FieldGrid& grid;
  SunBeams sun;
  std::vector<LampLight> lamps;
};

FaceLight::FaceLight(const Lighting& lighting, int surface)
    : state_(std::make_unique<State>(State{lighting, lighting.room->surfaces[surface], lighting.fields[surface],
                                           SunBeams(*lighting.room, lighting.sky, lighting.glazing),
                                           {lighting.lamps.begin(), lighting.lamps.end()}})) {
  assert(state_->grid.nx >= 4 && state_->grid.ny >= 4);
}

FaceLight::~FaceLight() = default;

LightVector FaceLight::at(dvec2 p) const {
  const State& s = *state_;
  const FieldGrid& g = s.grid;
  const dvec2 q = settled(s.face, p);
  const double u = kernel::field_coordinate(q.x, g.origin.x, g.step.x, g.nx), v = kernel::field_coordinate(q.y, g.origin.y, g.step.y, g.ny);
  const dvec4 across = kernel::field_weights(u, g.nx), up = kernel::field_weights(v, g.ny);
  const int first = static_cast<int>(kernel::field_first_tap(u, g.nx)), row = static_cast<int>(kernel::field_first_tap(v, g.ny));
  LightVector sum;
  for (int j = 0; j < 4; ++j)
    for (int i = 0; i < 4; ++i) sum += (across[i] * up[j]) * g.node[static_cast<std::size_t>(row + j) * g.nx + first + i].e;
  sum.n = std::max(0.0, sum.n);
  const Room& room = *s.lighting.room;
  const dvec3 world = s.face.frame.world_from_surface(q), n = s.face.frame.n;
  dvec3 e = sun_vector(s.lighting.sky, s.sun.at(world, -1), n);
  for (const LampLight& lamp : s.lamps) e += lamp.at(world, n, [&](dvec3 at) { return room.convex || room.sees(world, at); });
  const dvec3 own = s.face.frame.surface_direction(e);
  return sum + LightVector{own.x, own.y, own.z};
}

}  // namespace rakelight
