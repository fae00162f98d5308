#include "light/standing.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <numeric>

#include "base/units.h"

namespace rakelight {
namespace {

constexpr double off = 0.1, bulb_drop = 0.3, strip_flux_per_m = 1000;

LampSpec lamp(LampKind kind, const std::string& name, dvec3 at, dvec3 aim, double flux, double beam_deg, double size) {
  LampSpec l;
  l.kind = kind;
  l.name = name;
  l.position = at;
  l.aim = aim;
  l.aim.given = true;
  l.turn = 0.0;
  l.flux = flux;
  l.beam = beam_deg * rad_per_deg;
  l.dim = 1.0;
  l.size = size;
  return l;
}

double length_of(const Room& room, int wall) { return room.surfaces[wall].box.width(); }

/// A point in front of a wall: share of its length, distance off it as far as the room goes, height.
dvec3 before(const Room& room, int wall, double share, double distance, double height) {
  const Frame& f = room.surfaces[wall].frame;
  const dvec2 foot{share * length_of(room, wall), height};
  while (distance > 1e-3 && !room.contains(dvec2(f.world_from_surface(foot, distance)))) distance *= 0.5;
  return f.world_from_surface(foot, distance);
}

Lamp cove(const Room& room, int wall, const std::string& name, dvec3 aim) {
  const double height = std::max(0.5 * room.height, room.height - off);
  LampSpec l = lamp(LampKind::strip, name, before(room, wall, 0.02, off, height), aim, strip_flux_per_m * length_of(room, wall), 120, 0.01);
  l.to = before(room, wall, 0.98, off, height);
  l.to.given = true;
  return make_lamp(l, room);
}

/// Shines all round, by a table of two columns.
Lamp globe(const std::string& name, dvec3 at, double flux, double size) {
  Lamp l;
  l.name = name;
  l.at = at;
  l.size = size;
  l.peak = flux / (4 * pi);
  l.table = std::make_shared<const std::vector<dvec4>>(std::vector<dvec4>{{0, pi, 2, 0}, {0, 0, 1, 0}, {1, 1, 0, 0}});
  return l;
}

Lamp wall_light(const Room& room, int wall) {
  return globe("wall light", before(room, wall, 0.5, off, room.height < 1.9 ? 0.5 * room.height : 1.8), 600, 0.1);
}

Lamp bulb(const Room& room) {
  return globe("bare bulb", {room.middle(), std::max(0.5 * room.height, room.height - bulb_drop)}, 800, 0);
}

}  // namespace

Lamp standing_downlight(const Room& room, int wall, double distance) {
  return make_lamp(lamp(LampKind::downlight, fmt::format("downlight at {} mm", std::lround(distance * mm_per_m)),
                        before(room, wall, 0.5, distance, room.height), {0, 0, -1}, 700, 60, 0.08), room);
}

std::vector<Lamp> standing_lamps(const Room& room, int surface) {
  std::vector<Lamp> lamps;
  if (surface < room.wall_count()) {
    for (const double distance : {0.15, 0.3, 0.6}) lamps.push_back(standing_downlight(room, surface, distance));
    lamps.push_back(cove(room, surface, "cove strip", -room.surfaces[surface].frame.n));
    lamps.push_back(wall_light(room, surface));
    lamps.push_back(bulb(room));
    return lamps;
  }
  std::vector<int> walls(room.wall_count());
  std::iota(walls.begin(), walls.end(), 0);
  std::stable_sort(walls.begin(), walls.end(), [&](int a, int b) { return length_of(room, a) > length_of(room, b); });
  const bool ceiling = surface == room.ceiling();
  for (const int wall : {walls[0], walls[1]})
    lamps.push_back(cove(room, wall, "cove strip along " + room.surfaces[wall].name, {0, 0, ceiling ? 1.0 : -1.0}));
  lamps.push_back(wall_light(room, walls[0]));
  LampSpec up = lamp(LampKind::uplight, "uplight", before(room, walls[0], 0.5, 0.3, std::min(1.8, 0.7 * room.height)), {0, 0, ceiling ? 1.0 : -1.0}, 1500, 100, 0.2);
  lamps.push_back(make_lamp(up, room));
  lamps.push_back(bulb(room));
  return lamps;
}

}  // namespace rakelight
