#include "oracle/scenes.h"

#include <cmath>
#include <random>

namespace oracle {
namespace {

Opening window(double left, double reveal = 0.18) {
  Opening o;
  o.name = "W1";
  o.wall = 1;
  o.left = left;
  o.sill = 0.8;
  o.width = o.height = 1.5;
  o.reveal = reveal;
  return o;
}

/// 4.2 × 6.2 × 2.65 m: walls 0 (x = 0, its u along plan y), 1 (y = 6.2, the window's), 2 (x = 4.2), 3 (y = 0).
Plan long_room() {
  Plan p;
  p.corners = {{0, 0}, {0, 6.2}, {4.2, 6.2}, {4.2, 0}};
  p.height = 2.65;
  p.floor_reflectance = 0.25;
  p.wall_reflectance = 0.8;
  p.ceiling_reflectance = 0.85;
  return p;
}

/// Luminances of the order of a clear day.
Sky sky_of(double a, double b, double c, double d, double e, dvec3 sun, double direct_normal) {
  Sky s;
  s.dark = false;
  s.a = a;
  s.b = b;
  s.c = c;
  s.d = d;
  s.e = e;
  s.zenith = 3000;
  s.skyline = 3 * pi / 180;
  s.skyline_luminance = 1500;
  s.ground_luminance = 2500;
  s.sun = glm::normalize(sun);
  s.direct_normal = direct_normal;
  return s;
}
Sky clear(dvec3 sun, double direct_normal = 40000) { return sky_of(-1, -0.32, 10, -3, 0.45, sun, direct_normal); }
Sky overcast() { return sky_of(4, -0.70, 0, -1, 0, {0, -0.6, 0.8}, 0); }

Disc downlight(dvec3 at) {
  Disc d;
  d.name = "L1";
  d.at = at;
  d.size = 0.08;
  d.flux = 700;
  d.beam = 60 * pi / 180;
  return d;
}

Patch whole(const Plan& p, int face, int weight = 1) {
  const int walls = static_cast<int>(p.corners.size());
  if (face >= walls) {
    dvec2 lo = p.corners[0], hi = lo;
    for (dvec2 c : p.corners) {
      lo = glm::min(lo, c);
      hi = glm::max(hi, c);
    }
    return {face, lo, hi, weight};
  }
  const std::size_t i = static_cast<std::size_t>(face);
  return {face, dvec2(0), {glm::length(p.corners[(i + 1) % p.corners.size()] - p.corners[i]), p.height}, weight};
}

}  // namespace

Scene window_beside_wall() {
  Scene s{"window beside the wall", long_room(), {}};
  s.plan.openings = {window(0.25)};
  s.plan.sky = clear({0.5, -0.8, 0.6});
  s.patches = {whole(s.plan, 0, 2), whole(s.plan, 3), whole(s.plan, 4)};
  return s;
}

Scene window_in_corner() {
  Scene s{"window touching the corner", long_room(), {}};
  s.plan.openings = {window(0)};
  s.plan.sky = overcast();
  s.patches = {whole(s.plan, 0, 2), whole(s.plan, 4)};
  return s;
}

Scene low_sun() {
  // the beam's edge past the window's left jamb lands upright at 4.1 m, blurred over 150 mm
  Scene s{"low sun and its penumbra", long_room(), {}};
  s.plan.openings = {window(0.25)};
  s.plan.sky = clear({0.14, 1, 0.15});
  s.patches = {whole(s.plan, 0), {0, {3.9, 0.7}, {4.3, 1.7}, 1}};
  return s;
}

Scene lamp_at_wall() {
  Scene s{"lamp 100 mm off the wall", long_room(), {}};
  s.plan.openings = {window(0.25)};
  s.plan.lamps = {downlight({0.1, 3, 2.65})};
  s.patches = {whole(s.plan, 0), {0, {2, 1}, {4, 2.6}, 1}, whole(s.plan, 2)};
  return s;
}

Scene l_shaped_room() {
  // the arm sees the window only round the corner, and the lamp stands in the arm
  Scene s{"L-shaped room", long_room(), {}};
  s.plan.corners = {{0, 0}, {0, 4.5}, {2.4, 4.5}, {2.4, 2.2}, {4.4, 2.2}, {4.4, 0}};
  s.plan.openings = {window(0.3)};
  s.plan.lamps = {downlight({4.1, 0.8, 2.65})};
  s.plan.sky = clear({0.5, -0.8, 0.6});
  s.patches = {whole(s.plan, 0), whole(s.plan, 5), whole(s.plan, 6)};
  return s;
}

Scene sunlit_reveal() {
  // the sun stands past the wall, so that it lights the far jamb and not the wall beside the window
  Scene s{"far sunlit reveal", long_room(), {}};
  s.plan.openings = {window(0.25, 0.35)};
  s.plan.sky = clear({-1.2, 1, 0.8});
  s.patches = {whole(s.plan, 0, 2), whole(s.plan, 4)};
  return s;
}

Scene eaves_fin_and_roofs() {
  // Eaves with ends and a fin over and beside the window of the end wall, roofs across the street, a second window in the other
  // end whose ground lies in the house's shadow, and a roof window. The sun comes in at the first, past both, and at the third; 30,000 lx fall on
  // level ground, of which the fin (an upright face of reflectance 0.5) sees half, and the eaves half ground and half front.
  Scene s{"eaves, fin and roofs", long_room(), {}};
  s.plan.openings = {window(0.4), window(1.0), window(0)};
  s.plan.openings[0].shades = {0.6, 0.2, 0.3, 0.45, 0.05, 0.5};
  Opening& side = s.plan.openings[1];
  side.name = "W2";
  side.wall = 3;
  side.height = 1.2;
  Opening& roof = s.plan.openings[2];
  roof.name = "R1";
  roof.wall = 4;
  roof.left = 2.4;
  roof.sill = 1.2;
  roof.width = 0.9;
  roof.height = 1.1;
  roof.reveal = 0.3;
  s.plan.sky = clear({0.45, 1, 0.62});
  s.plan.sky.shaded_ground_luminance = 700;
  s.plan.ground_below = 0.4;
  s.plan.house_height = 5;
  // the end wall looks along azimuth pi/2
  s.plan.sky.roofs = {{0.2, 0.05}, {1.2, 0.08}, {1.2, 0.3}, {1.45, 0.3}, {1.45, 0.12}, {2.6, 0.2}, {4.4, 0.1}};
  s.plan.sky.skyline = 0.3;
  const double front = 0.5 * 30000 / (2 * pi), under = 0.5 * 0.5 * (s.plan.sky.ground_luminance + front);
  // 0.6 m out from the glass at y = 6.38, underside at 2.5, from 0.1 m to 2.2 m; the fin 0.45 m out, 50 mm right of the opening, up to the eaves
  const double glass = 6.2 + 0.18;
  s.plan.slabs = {{{0.1, glass, 2.5}, {2.1, 0, 0}, {0, 0.6, 0}, under}, {{1.95, glass, -200}, {0, 0.45, 0}, {0, 0, 202.5}, front}};
  s.patches = {whole(s.plan, 0, 2), whole(s.plan, 2), whole(s.plan, 4)};
  return s;
}

Scene cove_strip() {
  // a line of light in a cove along the long wall, 100 mm off it and 250 mm under the ceiling; it shines up by the cosine, and
  // what it lies on hides it from below
  Scene s{"cove strip", long_room(), {}};
  s.plan.openings = {window(0.25)};
  Disc strip;
  strip.name = "L1";
  strip.at = {0.1, 3, 2.4};
  strip.along = {0, 5, 0};
  strip.aim = {0, 0, 1};
  strip.size = 0.02;
  strip.flux = 4000;
  strip.beam = 120 * pi / 180;
  s.plan.lamps = {strip};
  s.patches = {whole(s.plan, 0, 2), whole(s.plan, 2), whole(s.plan, 4, 2)};
  return s;
}

std::vector<Scene> all_scenes() {
  return {window_beside_wall(), window_in_corner(), low_sun(), lamp_at_wall(), l_shaped_room(), sunlit_reveal(), eaves_fin_and_roofs(), cove_strip()};
}

std::vector<Spot> spots_of(const Scene& scene, int count, std::uint64_t seed) {
  constexpr double off = 0.05;
  const World world(scene.plan);
  std::mt19937_64 bits(seed);
  const auto uniform = [&](double lo, double hi) { return lo + (hi - lo) * static_cast<double>(bits() >> 11u) * 0x1.0p-53; };
  int total = 0;
  for (const Patch& p : scene.patches) total += p.weight;
  std::vector<Spot> spots;
  for (std::size_t k = 0; k < scene.patches.size(); ++k) {
    const Patch& patch = scene.patches[k];
    const Face& face = world.faces[static_cast<std::size_t>(patch.face)];
    const int share = k + 1 == scene.patches.size() ? count - static_cast<int>(spots.size()) : count * patch.weight / total;
    for (int i = 0; i < share;) {
      // to a tenth of a millimetre, as the table writes them
      const dvec2 p = glm::round(1e4 * dvec2(uniform(patch.lo.x, patch.hi.x), uniform(patch.lo.y, patch.hi.y))) / 1e4;
      bool clear = true;
      if (face.outline.empty()) {
        clear = p.x > off && p.y > off && p.x < face.size.x - off && p.y < face.size.y - off;
        for (const Face::Hole& h : face.holes)
          clear = clear && (p.x < h.lo.x - off || p.y < h.lo.y - off || p.x > h.hi.x + off || p.y > h.hi.y + off);
      } else {
        // all round inside
        const dvec3 below = face.at(p) + 0.5 * face.n;
        for (int turn = 0; turn < 16; ++turn) {
          const double phi = 2 * pi * turn / 16;
          const dvec3 to(off * std::cos(phi), off * std::sin(phi), -0.5 * face.n.z);
          const Hit hit = world.trace(below, to);
          clear = clear && hit.face == patch.face;
        }
      }
      if (!clear) continue;
      spots.push_back({patch.face, p, 0, dvec2(0)});
      ++i;
    }
  }
  return spots;
}

rakelight::Job job_of(const Plan& plan) {
  using rakelight::Key;
  rakelight::Job job;
  const auto wall = [](std::size_t i) { return std::string(1, static_cast<char>('A' + i)); };
  job.room.corners = Key<std::vector<dvec2>>(plan.corners);
  for (std::size_t i = 0; i < plan.corners.size(); ++i) job.room.walls.push_back(Key<std::string>(wall(i)));
  job.room.height = plan.height;
  job.room.floor_reflectance = plan.floor_reflectance;
  job.room.wall_reflectance = plan.wall_reflectance;
  job.room.ceiling_reflectance = plan.ceiling_reflectance;
  job.site.skyline = plan.sky.skyline;
  for (auto p = plan.sky.roofs.rbegin(); p != plan.sky.roofs.rend(); ++p) job.site.skyline_points.emplace_back(pi / 2 - p->x, p->y);
  job.site.ground_below = plan.ground_below;
  job.site.house_height = plan.house_height;
  for (const Opening& o : plan.openings) {
    rakelight::WindowSpec w;
    w.name = o.name;
    const bool roof = o.wall == static_cast<int>(plan.corners.size());
    w.wall = roof ? std::string("ceiling") : wall(static_cast<std::size_t>(o.wall));
    w.from_left = o.left;
    w.sill = o.sill;
    w.place = dvec2(o.left, o.sill);
    w.eaves = o.shades.eaves;
    w.eaves_above = o.shades.above;
    w.eaves_past = Key<double>(o.shades.past);
    w.eaves_past.given = true;
    w.fin_right = o.shades.fin_right;
    w.fin_off = o.shades.fin_off;
    w.outer_reflectance = o.shades.reflectance;
    w.width = o.width;
    w.height = o.height;
    w.reveal = o.reveal;
    w.reveal_reflectance = o.reveal_reflectance;
    w.frame = o.frame;
    w.glazing = o.glass.panes == 1 ? rakelight::Glass::single_pane : rakelight::Glass::double_pane;
    job.windows.push_back(w);
  }
  for (const Disc& d : plan.lamps) {
    rakelight::LampSpec l;
    l.name = d.name;
    l.kind = d.strip() ? rakelight::LampKind::strip : rakelight::LampKind::downlight;
    l.position = d.at - 0.5 * d.along;
    l.to = d.at + 0.5 * d.along;
    l.to.given = d.strip();
    l.aim = d.aim;
    l.size = d.size;
    l.flux = d.flux;
    l.beam = d.beam;
    l.dim = 1.0;
    job.lamps.push_back(l);
  }
  return job;
}

rakelight::Moment moment_of(const Plan& plan) {
  rakelight::Moment m;
  const Sky& s = plan.sky;
  m.sky.dark = s.dark;
  m.sky.a = s.a;
  m.sky.b = s.b;
  m.sky.c = s.c;
  m.sky.d = s.d;
  m.sky.e = s.e;
  m.sky.zenith_luminance = s.zenith;
  m.sky.skyline = s.skyline;
  m.sky.skyline_luminance = s.skyline_luminance;
  m.sky.ground_luminance = s.ground_luminance;
  m.sky.sun_direction = m.sky.indicatrix_sun = s.sun;
  m.sky.sun_up = !s.dark && s.direct_normal > 0;
  m.sky.direct_normal = s.direct_normal;
  static_cast<rakelight::Outskirts&>(m.sky) = rakelight::outskirts(job_of(plan).site);
  m.sky.shaded_ground_luminance = s.shaded_ground_luminance;
  m.sky.direct_horizontal = 22000;
  m.sky.diffuse_horizontal = 8000;
  m.lamp_on.assign(plan.lamps.size(), true);
  return m;
}

}  // namespace oracle
