// What stands round a window (eaves, fins, a skyline with houses, the house's shadow on the ground), covers at its glass, and roof
// windows: against closed forms, and against plain sums over the glass that walk every ray by themselves.
#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <map>

#include "base/quadrature.h"
#include "base/random.h"
#include "kernel/sky.h"
#include "light/basis.h"
#include "light/covered.h"
#include "light/outside.h"
#include "light/station.h"
#include "light/sun.h"
#include "light/window_light.h"
#include "rooms.h"
#include "support/validated.h"

using namespace rakelight;
using namespace rakelight::testing;

namespace {

/// Light vectors, in the receiver's frame, of each band at luminance 1; ground that lies in the shade apart.
struct Bands { dvec3 sky{0}, skyline{0}, ground{0}, shaded{0}, eaves{0}, fins{0}; };
double sum_of(const Bands& b) { return glm::length(b.sky + b.skyline + b.ground + b.shaded + b.eaves + b.fins); }

Bands by_quadrature(const Room& room, int window, const Receiver& receiver, const Frame& frame, const Outskirts& around, double reach, bool clear_glass) {
  const Glazing glazing = make_glazing(Glass::double_pane, 0);
  const dvec3 out = -room.surfaces[room.windows[window].surface].frame.n;
  OutsideShape shape;
  shape.outskirts = &around;
  if (reach > 0) shape.reaches = {&reach, 1};
  Bands bands;
  through_window(room, window, glazing, receiver, shape, [&](const Ray& ray) {
    const double passed = clear_glass ? transmittance(glazing, std::acos(glm::dot(ray.w, out))) : 1;
    if (passed <= 0) return;  // along the glass
    const dvec3 e = frame.surface_direction(ray.w) * (ray.solid / passed);
    switch (ray.band) {
      case Band::sky: bands.sky += e; break;
      case Band::skyline: bands.skyline += e; break;
      case Band::ground: (reach > 0 && ray.strip == 0 ? bands.shaded : bands.ground) += e; break;
      case Band::eaves: bands.eaves += e; break;
      case Band::fins: bands.fins += e; break;
    }
    // azimuth and altitude say the same as the direction
    CHECK(std::abs(std::sin(ray.altitude) - ray.w.z) < 1e-9);
    CHECK(std::abs(std::remainder(ray.azimuth - std::atan2(ray.w.y, ray.w.x), 2 * pi)) * std::hypot(ray.w.x, ray.w.y) < 1e-9);
  });
  return bands;
}
Bands by_quadrature(const Room& room, int surface, dvec2 p, const Outskirts& around, double reach = 0, bool clear_glass = false) {
  const Frame& f = room.surfaces[surface].frame;
  return by_quadrature(room, 0, {f.world_from_surface(p), f.n, -1}, f, around, reach, clear_glass);
}

/// On the glass at the wall's x, y, looking out; glass divided out. Components along the wall's x, y and into the room.
Bands on_the_glass(const Room& room, dvec2 p, const Outskirts& around, double reach = 0) {
  const Window& w = room.windows[0];
  const Frame& f = room.surfaces[w.surface].frame;
  return by_quadrature(room, 0, {f.world_from_surface(p, -w.reveal), -f.n, 0, true}, f, around, reach, true);
}

/// The same by n × n middles of the glass; what each ray meets is found by walking it.
Bands by_sum(const Room& room, int surface, dvec2 spot, const Outskirts& around, double reach, int n) {
  const Surface& s = room.surfaces[surface];
  const Window& w = room.windows[0];
  const Frame& f = room.surfaces[w.surface].frame;
  const Glazing glazing = make_glazing(Glass::double_pane, 0);
  const dvec3 p = s.frame.world_from_surface(spot);
  const Rect g = w.glass();
  const WindowShades& shades = w.shades;
  Bands bands;
  for (int j = 0; j < n; ++j)
    for (int i = 0; i < n; ++i) {
      const dvec3 q = f.world_from_surface(g.lo + dvec2((i + 0.5) / n, (j + 0.5) / n) * (g.hi - g.lo), -w.reveal), r = q - p;
      const double h = f.height_of(p), d = glm::length(r), cosine = -glm::dot(r, f.n) / d;
      if (glm::dot(r, s.frame.n) <= 0 || !w.opening.contains(f.surface_from_world(p + h / (h + w.reveal) * r))) continue;
      const dvec3 to = r / d, e = s.frame.surface_direction(to) * (transmittance(glazing, std::acos(cosine)) * cosine / (d * d) * g.width() * g.height() / (n * n));
      // planes of the slab's underside and of the fins, whichever the ray meets first within them
      double first = 1e9;
      dvec3* into = nullptr;
      const auto meet = [&](double t, bool within, dvec3& band) {
        if (t > 0 && t < first && within) {
          first = t;
          into = &band;
        }
      };
      const dvec2 on = f.surface_from_world(q);
      const dvec3 local = f.surface_direction(to);
      if (shades.eaves > 0 && local.y != 0) {
        const double t = (shades.eaves_y - on.y) / local.y, x = on.x + t * local.x;
        meet(t, -t * local.z < shades.eaves && x > shades.eaves_lo && x < shades.eaves_hi, bands.eaves);
      }
      for (const auto& [deep, x] : {std::pair{shades.left, shades.left_x}, std::pair{shades.right, shades.right_x}})
        if (deep > 0 && local.x != 0) meet((x - on.x) / local.x, -(x - on.x) / local.x * local.z < deep, bands.fins);
      if (!into && to.z < 0) {
        const double t = (q.z + around.ground_below) / -to.z;
        into = -t * local.z < reach ? &bands.shaded : &bands.ground;
      }
      if (!into) into = std::asin(to.z) < around.skyline_at(std::atan2(to.y, to.x)) ? &bands.skyline : &bands.sky;
      *into += e;
    }
  return bands;
}

/// Houses across the street: a block, a gap, a slope; azimuths in plan for north = 0.
Job with_houses(Job job) {
  job.site.skyline_points = {{0, 0.3}, {0.2, 0.3}, {0.2, 0.05}, {0.9, 0.12}, {5.4, 0.1}, {5.4, 0.45}, {5.9, 0.45}, {6.1, 0.2}};
  job.site.skyline.value = 0.45;
  return job;
}

Job with_everything() {
  Job job = with_houses(demo_job());
  job.site.ground_below = 1.2;
  job.site.house_height = 6.0;
  WindowSpec& w = job.windows[0];
  w.eaves = 0.6;
  w.eaves_above = 0.1;
  w.eaves_past = Key<double>(0.3);
  w.eaves_past.given = true;
  w.fin_left = 0.4;
  w.fin_right = 0.25;
  w.fin_off = 0.05;
  w.outer_reflectance = 0.5;
  return job;
}

/// A roof window 1.2 × 0.8 m over the room of 4.2 × 6.2 m.
Job with_roof_window(double reveal = 0.3, double frame = 0.06) {
  Job job = box_job(4.2, 6.2, 2.65);
  WindowSpec w = window_spec("R1", "ceiling", 0, 0, 1.2, 0.8);
  w.place = dvec2(1.0, 3.5);
  w.reveal = reveal;
  w.frame = frame;
  job.windows.push_back(w);
  return job;
}

void agree(const Bands& a, const Bands& b, double share, test::Validated& found) {
  const double all = sum_of(b);
  for (const dvec3 d : {a.sky - b.sky, a.skyline - b.skyline, a.ground - b.ground, a.shaded - b.shaded, a.eaves - b.eaves, a.fins - b.fins}) found.off(glm::length(d) / all);
  CHECK(glm::length(a.sky - b.sky) <= share * all);
  CHECK(glm::length(a.skyline - b.skyline) <= share * all);
  CHECK(glm::length(a.ground - b.ground) <= share * all);
  CHECK(glm::length(a.shaded - b.shaded) <= share * all);
  CHECK(glm::length(a.eaves - b.eaves) <= share * all);
  CHECK(glm::length(a.fins - b.fins) <= share * all);
}

}  // namespace

TEST_CASE("what a window shows of eaves, fins, houses, ground and shade agrees with walked rays", "[light]") {
  test::Validated found("eaves, fins, houses, ground and the house's shadow through a window",
                        "250,000 rays walked from each of 7 places, with shade and without", "0.3 % of the whole", " %", 100);
  // middles of 500 × 500 parts leave 0.3 % where edges cut through them
  const Job job = with_everything();
  const Room room = room_of(job);
  const Outskirts around = outskirts(job.site);
  REQUIRE(around.skyline_points.size() == 9);
  for (const auto& [surface, p] : {std::pair{0, dvec2(5.2, 1.5)}, std::pair{0, dvec2(1.0, 0.4)}, std::pair{2, dvec2(2.0, 1.2)}, std::pair{3, dvec2(1.5, 2.2)},
                                   std::pair{4, dvec2(1.4, 5.3)}, std::pair{5, dvec2(0.6, 5.6)}, std::pair{5, dvec2(3.0, 2.0)}})
    for (const double reach : {0.0, 3.0}) {
      INFO("surface " << surface << " at " << p.x << ", " << p.y << ", shade " << reach << " m");
      const Bands sum = by_sum(room, surface, p, around, reach, 500);
      REQUIRE(sum_of(sum) > 0);
      agree(by_quadrature(room, surface, p, around, reach), sum, 3e-3, found);
    }
}

TEST_CASE("a roof window agrees with walked rays, with an even skyline and with houses", "[light]") {
  test::Validated found("roof window, with an even skyline and with houses", "250,000 rays walked from each of 5 places",
                        "0.4 % of the whole", " %", 100);
  const Job job = with_roof_window();
  const Room room = room_of(job);
  Outskirts even, houses = outskirts(with_houses(job).site);
  even.skyline = 0.7;  // so high that it is seen
  for (dvec2& p : houses.skyline_points) p.y *= 2;
  for (const Outskirts& around : {even, houses})
    for (const auto& [surface, p] : {std::pair{0, dvec2(3.9, 1.5)}, std::pair{1, dvec2(1.0, 0.5)}, std::pair{2, dvec2(2.5, 0.8)}, std::pair{5, dvec2(1.5, 3.8)}, std::pair{5, dvec2(3.9, 1.0)}}) {
      INFO("surface " << surface << " at " << p.x << ", " << p.y);
      const Bands sum = by_sum(room, surface, p, around, 0, 500);
      REQUIRE(sum_of(sum) > 0);
      agree(by_quadrature(room, surface, p, around), sum, 4e-3, found);
      CHECK(glm::length(sum.ground) == 0);
    }
  // the ceiling sees nothing of it
  CHECK(sum_of(by_quadrature(room, 4, {3, 1}, even)) == 0);
}

TEST_CASE("a roof window without depth gives what Howell's rectangles give", "[light]") {
  test::Validated found("roof window without depth", "Howell C-11 and C-12, 5 places", "1e-5");
  // clear glass and open horizon: configuration factors C-11 (floor) and C-12 (walls); the sky from horizon to horizon
  const Job job = with_roof_window(0, 0);
  const Room room = room_of(job);
  const Outskirts open;
  const double x0 = 1.0, x1 = 2.2, y0 = 3.5, y1 = 4.3, z = 2.65;
  for (const dvec2 p : {dvec2(1.5, 3.9), dvec2(0.2, 0.3), dvec2(4.0, 5.9)}) {
    const auto corner = [&](double x, double y) {
      return (x < p.x ? -1 : 1) * (y < p.y ? -1 : 1) * parallel_factor(std::abs(x - p.x), std::abs(y - p.y), z);
    };
    const Bands b = by_quadrature(room, 5, p, open, 0, true);
    CHECK(found.share(b.sky.z / pi, corner(x1, y1) - corner(x0, y1) - corner(x1, y0) + corner(x0, y0)) == Approx(corner(x1, y1) - corner(x0, y1) - corner(x1, y0) + corner(x0, y0)).epsilon(1e-5));
  }
  // wall A is x = 0, its x along plan y; the rectangle is upright to it
  for (const dvec2 p : {dvec2(3.9, 1.0), dvec2(1.0, 2.4)}) {
    const auto corner = [&](double y, double x) { return (y < p.x ? -1 : 1) * upright_factor(x, std::abs(y - p.x), z - p.y); };
    const Bands b = by_quadrature(room, 0, p, open, 0, true);
    CHECK(found.share(b.sky.z / pi, corner(y1, x1) - corner(y0, x1) - corner(y1, x0) + corner(y0, x0)) == Approx(corner(y1, x1) - corner(y0, x1) - corner(y1, x0) + corner(y0, x0)).epsilon(1e-5));
  }
}

TEST_CASE("the light on the glass under eaves, beside fins, before houses and shade is that of closed forms", "[light]") {
  test::Validated found("eaves, fins, a block of houses, ground nearer than d", "closed forms of strips and blocks", "1e-5");
  // On an upright face, with alpha aside and beta up, dE = L cos alpha cos^2 beta d beta d alpha:
  //   sky under endless eaves, up to the profile angle W: pi/2 sin W (the factor of an endless strip is half a sine)
  //   all but a fin beyond alpha: pi/2 (1 + sin alpha)
  //   a block of houses from a to b, h high: (sin b - sin a) (h/2 + sin(2h)/4)
  //   ground nearer than d, seen from z above it: pi/2 (1 - sin atan(z/d))
  Job job = demo_job();
  Outskirts around;
  {
    job.windows[0].eaves = 0.8;
    job.windows[0].eaves_above = 0.15;
    const Room room = room_of(job);
    const double under = 2.3 + 0.15 - 1.4;
    const Bands b = on_the_glass(room, {1.0, 1.4}, around);
    CHECK(found.share(-b.sky.z, pi / 2 * std::sin(std::atan(under / 0.8))) == Approx(pi / 2 * std::sin(std::atan(under / 0.8))).epsilon(1e-5));
    CHECK(found.share(-(b.sky + b.eaves).z, pi / 2) == Approx(pi / 2).epsilon(1e-5));
    CHECK(found.share(-b.ground.z, pi / 2) == Approx(pi / 2).epsilon(1e-5));
  }
  job = demo_job();
  {
    job.windows[0].fin_right = 0.5;
    job.windows[0].fin_off = 0.1;
    const Room room = room_of(job);
    const double alpha = std::atan((1.75 + 0.1 - 1.0) / 0.5);
    const Bands b = on_the_glass(room, {1.0, 1.4}, around);
    CHECK(found.share(-(b.sky + b.ground).z, pi / 2 * (1 + std::sin(alpha))) == Approx(pi / 2 * (1 + std::sin(alpha))).epsilon(1e-5));
    CHECK(found.share(-b.fins.z, pi / 2 * (1 - std::sin(alpha))) == Approx(pi / 2 * (1 - std::sin(alpha))).epsilon(1e-5));
  }
  job = demo_job();
  const Room room = room_of(job);
  {
    // wall B looks along plan +y: an alpha of a stands at the bearing -a of north 0, as seen from inside; bearings turn to the right
    const double a = 0.2, b = 0.7, h = 0.4;
    job.site.skyline_points = {{0, 0}, {a, 0}, {a, h}, {b, h}, {b, 0}};
    const Bands bands = on_the_glass(room, {1.0, 1.4}, outskirts(job.site));
    CHECK(found.share(-bands.skyline.z, (std::sin(b) - std::sin(a)) * (h / 2 + std::sin(2 * h) / 4)) == Approx((std::sin(b) - std::sin(a)) * (h / 2 + std::sin(2 * h) / 4)).epsilon(1e-5));
    CHECK(bands.skyline.x > 0);  // to the right
    // turned with the plan
    job.site.north = 0.3;
    for (dvec2& p : job.site.skyline_points) p.x += 0.3;
    CHECK(glm::length(on_the_glass(room, {1.0, 1.4}, outskirts(job.site)).skyline - bands.skyline) < 1e-6);
  }
  around.ground_below = 2.0;
  const Bands b = on_the_glass(room, {1.0, 1.4}, around, 5.0);
  CHECK(found.share(-b.shaded.z, pi / 2 * (1 - std::sin(std::atan(3.4 / 5)))) == Approx(pi / 2 * (1 - std::sin(std::atan(3.4 / 5)))).epsilon(1e-5));
  CHECK(found.share(-(b.shaded + b.ground).z, pi / 2) == Approx(pi / 2).epsilon(1e-5));
}

TEST_CASE("the sun's edge under eaves and beside fins lies where the profile angle puts it", "[light]") {
  test::Validated found("sun's edge under eaves and beside fins", "profile angle (ASHRAE Fundamentals): half of the disc passes there",
                        "0.002 of the disc");
  // Shadow height of an overhang P tan(profile), tan(profile) = tan(altitude) / cos(azimuth off the wall); shadow width of a fin
  // P |tan(azimuth)| (ASHRAE Handbook of Fundamentals, chapter Fenestration). Half of the disc passes at the edge.
  Job job = demo_job();
  WindowSpec& w = job.windows[0];
  w.eaves = 0.7;
  w.eaves_above = 0.2;
  w.fin_left = 0.6;
  w.fin_off = 0.1;
  const Room room = room_of(job);
  const double altitude = 0.6, aside = -0.35;  // the sun stands to the left of the wall's normal as seen from inside
  SkyState sky;
  sky.dark = false;
  sky.sun_up = true;
  sky.direct_normal = 1;
  sky.sun_direction = {std::cos(altitude) * std::sin(aside), std::cos(altitude) * std::cos(aside), std::sin(altitude)};
  const SunBeams beams(room, sky, {make_glazing(room.windows[0])});
  const double passed = kernel::glass_transmittance(std::cos(altitude) * std::cos(aside), 2, 0.012, 1) * std::cos(altitude) * std::cos(aside);
  const auto share = [&](double x, double y) { return beams.on_glass(room.surfaces[1].frame.world_from_surface({x, y}, -0.18), 0) / passed; };
  const double edge = 2.3 + 0.2 - 0.7 * std::tan(altitude) / std::cos(aside), fin = 0.25 - 0.1 + 0.6 * std::tan(-aside);
  REQUIRE(edge < 2.2);
  REQUIRE(fin > 0.33);
  CHECK(found.near(share(1.2, edge), 0.5) == Approx(0.5).margin(1e-3));
  CHECK(share(1.2, edge - 0.02) == Approx(1));
  CHECK(share(1.2, edge + 0.02) == Approx(0).margin(1e-9));
  CHECK(found.near(share(fin, 1.2), 0.5) == Approx(0.5).margin(1e-3));
  CHECK(share(fin + 0.02, 1.2) == Approx(1));
  CHECK(share(fin - 0.02, 1.2) == Approx(0).margin(1e-9));

  // in the room the same edges are met along the beam: on the floor, y from the wall, behind the glass
  const dvec3 s = sky.sun_direction;
  const auto on_floor = [&](double x, double y) { return beams.at({x, y, 0}, -1).normal_illuminance * std::cos(altitude) * std::cos(aside) / passed; };
  const double glass_y = 6.2 + 0.18, drop = edge / s.z * s.y;  // from the edge on the glass down to the floor
  const double x = 1.2 - edge / s.z * s.x;
  CHECK(found.near(on_floor(x, glass_y - drop), 0.5) == Approx(0.5).margin(2e-3));
  CHECK(on_floor(x, glass_y - drop + 0.1) == Approx(1));
  CHECK(on_floor(x, glass_y - drop - 0.1) == Approx(0).margin(1e-9));

  // eaves that end: past their end the sun comes in again. The ray to the sun meets their underside aside by tan(aside) × its way out.
  w.eaves_past = Key<double>(0.0);
  w.eaves_past.given = true;
  w.fin_left = 0.0;
  const Room ended = room_of(job);
  const SunBeams past(ended, sky, {make_glazing(ended.windows[0])});
  const auto ended_share = [&](double at, double y) { return past.on_glass(ended.surfaces[1].frame.world_from_surface({at, y}, -0.18), 0) / passed; };
  const double y = 2.2, up = 2.5 - y, end = 0.25 + up / s.z * -s.x;
  CHECK(found.near(ended_share(end, y), 0.5) == Approx(0.5).margin(2e-3));
  CHECK(ended_share(end + 0.02, y) == Approx(0).margin(1e-9));
  CHECK(ended_share(end - 0.02, y) == Approx(1));
}

TEST_CASE("where no beam is said to reach, none does", "[light]") {
  const Room room = room_of(demo_job());
  SkyState sky;
  sky.dark = false;
  sky.sun_up = true;
  sky.direct_normal = 1;
  Random random(17);
  int lit = 0, spared = 0, told = 0;
  for (int i = 0; i < 400; ++i) {
    const double altitude = random.uniform(0.02, 1.2), aside = random.uniform(-1.5, 1.5);
    sky.sun_direction = {std::cos(altitude) * std::sin(aside), std::cos(altitude) * std::cos(aside), std::sin(altitude)};
    const SunBeams beams(room, sky, {make_glazing(room.windows[0])});
    for (int k = 0; k < 40; ++k) {
      const dvec3 centre(random.uniform(0, 4.2), random.uniform(0, 6.2), random.uniform(0, 2.65));
      const double radius = random.uniform(0.02, 0.4);
      const bool may = beams.may_reach(centre, radius, -1);
      ++(may ? told : spared);
      for (int q = 0; q < 12; ++q) {
        dvec3 off(random.uniform(-1, 1), random.uniform(-1, 1), random.uniform(-1, 1));
        off *= radius / std::max(1.0, glm::length(off));
        if (beams.at(centre + off, -1).normal_illuminance <= 0) continue;
        ++lit;
        REQUIRE(may);
      }
    }
  }
  CHECK(lit > 2000);
  CHECK(spared > told);
}

TEST_CASE("a skyline with houses hides the sun by its own height there", "[light]") {
  Job job = with_houses(box_job(3, 3, 2.5));
  const Outskirts o = outskirts(job.site);
  // bearings run clockwise from plan +y: 5.6 is -39 degrees, to the left
  const auto sun_at_bearing = [](double bearing, double altitude) { return dvec3(std::cos(altitude) * std::sin(bearing), std::cos(altitude) * std::cos(bearing), std::sin(altitude)); };
  CHECK(o.skyline_at(pi / 2 - 5.6) == Approx(0.45));
  CHECK(o.skyline_at(pi / 2 - 6.0) == Approx(0.325));
  CHECK(o.skyline_at(pi / 2 - 0.1) == Approx(0.3));
  CHECK(o.skyline_at(pi / 2 - 0.55) == Approx(0.085));
  CHECK(sun_over_skyline(o, sun_at_bearing(5.6, 0.46)) == Approx(1));
  CHECK(sun_over_skyline(o, sun_at_bearing(5.6, 0.44)) == 0);
  CHECK(sun_over_skyline(o, sun_at_bearing(5.6, 0.45)) == Approx(0.5).margin(0.01));
  // an upright edge halves it too
  CHECK(sun_over_skyline(o, sun_at_bearing(0.2, 0.2)) == Approx(0.5).margin(0.02));
  Outskirts even;
  even.skyline = 0.1;
  CHECK(sun_over_skyline(even, sun_at_bearing(1, 0.1 + 0.5 * kernel::sun_radius())) == Approx(kernel::disc_share(0.5)));
}

TEST_CASE("the house's shadow on the ground reaches as far as the sun stands low behind it", "[light]") {
  Job job = with_everything();
  const Room room = room_of(job);
  Moment m = clear_sky(job, {0.2, -1, 0.5});
  static_cast<Outskirts&>(m.sky) = outskirts(job.site);
  m.sky.shaded_ground_luminance = 700;
  m.sky.direct_horizontal = 20000;
  m.sky.diffuse_horizontal = 8000;
  NearOutside near = near_outside(room, 0, m.sky);
  CHECK(near.reach == Approx(6.0 * 1 / 0.5));
  // eaves over 2.4 + 1.2 m: the endless strip of shade takes d / sqrt(d² + h²) of the ground that they see
  const double h = 2.4 + 1.2, shaded = 12 / std::hypot(12, h), front = 0.5 * 28000 / (2 * pi);
  CHECK(near.fins == Approx(front));
  CHECK(near.eaves == Approx(0.25 * (shaded * 700 + (1 - shaded) * 2500 + front)));
  m.sky.sun_direction = glm::normalize(dvec3(0.2, 1, 0.5));
  near = near_outside(room, 0, m.sky);
  CHECK(near.reach == 0);
  CHECK(luminance_beyond(room, 0, m.sky, {1, 1.5}, glm::normalize(dvec3(0, 1, -0.5))) == 2500);
}

TEST_CASE("the light behind covers is the same whether what faces exchange was taken over or worked out anew", "[light]") {
  Job bare = box_job(3, 4, 2.5);
  bare.windows.push_back(window_spec("W1", "B", 0.1, 0.8, 1.4, 1.2));
  Job covered = bare;
  covered.windows[0].cover = CoverSpec::sheer;
  covered.windows[0].cover_direct = 0.3;
  covered.windows[0].cover_scatter = 0.35;
  covered.windows[0].cover_reflectance = 0.3;
  const Room room = room_of(covered), bare_room = room_of(bare);
  const Moment m = uniform_sky(bare, 1000, 1000, 1000);
  const Lighting anew = make_lighting(covered, room, make_basis(covered, room, {}), m);
  const Lighting taken_over = make_lighting(covered, room, with_covers(covered, room, *make_basis(bare, bare_room, {})), m);
  REQUIRE(anew.cell_exitance.size() == taken_over.cell_exitance.size());
  REQUIRE(*std::max_element(anew.cell_exitance.begin(), anew.cell_exitance.end()) > 1);
  // the same sums in the same order
  CHECK(anew.cell_exitance == taken_over.cell_exitance);
  CHECK(anew.patch_exitance == taken_over.patch_exitance);
}

TEST_CASE("a cover scatters what falls on it and lets the rest straight through", "[light]") {
  test::Validated found("a sheer at the glass", "balance of a cover and glass in a black room", "0.2 %", " %", 100);
  // A black room under an even outside of 1000 cd/m²: the glass passes 1000 π × its transmittance for light from all round; of
  // that the cover sends on s + (d + s) r g / (1 - r g), evenly over its face, and d times what comes straight.
  Job bare = box_job(3, 4, 2.5);
  bare.room.wall_reflectance = bare.room.floor_reflectance = bare.room.ceiling_reflectance = 0.0;
  bare.windows.push_back(window_spec("W1", "B", 0.8, 0.8, 1.4, 1.2));
  bare.windows[0].reveal_reflectance = 0.0;
  bare.site.skyline = 0.0;
  Job covered = bare;
  covered.windows[0].cover = CoverSpec::sheer;
  covered.windows[0].cover_direct = 0.3;
  covered.windows[0].cover_scatter = 0.35;
  covered.windows[0].cover_reflectance = 0.3;
  const Glazing glass = make_glazing(Glass::double_pane, 0);
  double diffuse = 0;
  for (const Node& c : gauss_nodes(32)) diffuse += c.weight * 2 * c.x * kernel::glass_transmittance(c.x, glass.panes, glass.extinction, 1);
  const double between = 0.3 * diffuse_reflectance(glass), sent = 0.35 + 0.65 * between / (1 - between);
  const Room room = room_of(covered), bare_room = room_of(bare);
  const auto basis = make_basis(covered, room, {}), bare_basis = make_basis(bare, bare_room, {});
  Moment m = uniform_sky(bare, 1000, 1000, 1000);
  const Lighting l = make_lighting(covered, room, basis, m), without = make_lighting(bare, bare_room, bare_basis, m);
  const WindowParts parts = window_parts(*basis, 0);
  for (int j = parts.pane; j < parts.end; ++j) CHECK(found.share(l.patch_exitance[j], 1000 * pi * diffuse * sent) == Approx(1000 * pi * diffuse * sent).epsilon(1e-3));
  for (const auto& [surface, p] : {std::pair{0, dvec2(3.2, 1.2)}, std::pair{3, dvec2(1.2, 1.5)}, std::pair{5, dvec2(1.4, 2.0)}}) {
    const Bands clear = by_quadrature(room, surface, p, outskirts(bare.site), 0, true);
    const dvec3 face = (clear.sky + clear.skyline + clear.ground) * (l.patch_exitance[parts.pane] / pi);
    const LightVector all = smooth_light(l, surface, p).e, straight = smooth_light(without, surface, p).e;
    CHECK(found.share(all.n, 0.3 * straight.n + face.z) == Approx(0.3 * straight.n + face.z).epsilon(2e-3));
    CHECK(found.share(all.x, 0.3 * straight.x + face.x) == Approx(0.3 * straight.x + face.x).epsilon(2e-3));
    LightVector cover;
    for (const SourceShare& share : light_by_source(l, surface, p))
      if (share.name == "W1 cover") cover = share.e;
    CHECK(found.share(cover.n, face.z) == Approx(face.z).epsilon(2e-3));
  }
  // the sun on it: as much again for its lux behind the glass; straight through passes d of it
  m.sky.sun_up = true;
  m.sky.direct_normal = 50000;
  m.sky.sun_direction = glm::normalize(dvec3(0.3, 1, 0.4));
  const Lighting sunny = make_lighting(covered, room, basis, m);
  const double cosine = m.sky.sun_direction.y, passed = kernel::glass_transmittance(cosine, 2, 0.012, 1);
  CHECK(sunny.patch_exitance[parts.pane] - l.patch_exitance[parts.pane] == Approx(50000 * cosine * passed * sent).epsilon(1e-6));
  const dvec3 middle = room.surfaces[1].frame.world_from_surface({1.5, 1.4}) - 1.0 * m.sky.sun_direction;
  CHECK(sun_at(sunny, middle).normal_illuminance == Approx(0.3 * 50000 * passed));
  // towards the eye: its luminance beside what is seen straight through
  const double seen = luminance_seen(l, {1.5, 1.0, 1.4}, {0, 1, 0});
  CHECK(seen == Approx(0.3 * 1000 * kernel::glass_transmittance(1, 2, 0.012, 1) + l.patch_exitance[parts.pane] / pi).epsilon(1e-6));
  double lux = 0;
  for (const GlareSource& g : glare_sources(l, {1.5, 1.0, 1.4})) lux += g.illuminance;
  const Frame eye{{1.5, 1.0, 1.4}, {1, 0, 0}, {0, 0, 1}, {0, 1, 0}};
  const Bands at_eye = by_quadrature(room, 0, {{1.5, 1.0, 1.4}, dvec3(0), -1}, eye, outskirts(bare.site), 0, true);
  const Bands passed_eye = by_quadrature(room, 0, {{1.5, 1.0, 1.4}, dvec3(0), -1}, eye, outskirts(bare.site), 0, false);
  CHECK(found.share(lux, sum_of(at_eye) * l.patch_exitance[parts.pane] / pi + 300 * sum_of(passed_eye)) == Approx(sum_of(at_eye) * l.patch_exitance[parts.pane] / pi + 300 * sum_of(passed_eye)).epsilon(2e-3));
}

TEST_CASE("basis and stations keep eaves, houses, shade and roof windows as the exact light has them", "[light]") {
  // the basis knows ground by strips; what the strip in which the shade ends adds is under 1 % of the window's light
  Job job = with_everything();
  job.lamps.clear();
  WindowSpec r = window_spec("R1", "ceiling", 0, 0, 0.9, 0.7);
  r.place = dvec2(2.4, 1.2);
  r.reveal = 0.3;
  job.windows.push_back(r);
  const Room room = room_of(job);
  LightDetail detail;
  detail.fields = {0};
  const auto basis = make_basis(job, room, detail);
  Moment m = clear_sky(job, {0.3, -0.8, 0.9});
  static_cast<Outskirts&>(m.sky) = outskirts(job.site);
  m.sky.shaded_ground_luminance = 800;
  m.sky.direct_horizontal = 25000;
  m.sky.diffuse_horizontal = 9000;
  const Lighting l = make_lighting(job, room, basis, m);
  std::vector<Glazing> glazing;
  for (const Window& w : room.windows) glazing.push_back(make_glazing(w));
  REQUIRE(near_outside(room, 0, m.sky).reach == Approx(6 * 0.8 / 0.9));
  const std::vector<double> even = even_luminance(*basis, room, m.sky);
  for (const auto& [surface, p] : {std::pair{0, dvec2(5.0, 1.5)}, std::pair{0, dvec2(2.0, 0.8)}, std::pair{2, dvec2(3.0, 1.4)}, std::pair{4, dvec2(1.5, 4.5)}, std::pair{5, dvec2(2.5, 2.0)}}) {
    INFO("surface " << surface << " at " << p.x << ", " << p.y);
    const LightSample exact = smooth_light(l, surface, p);
    const StationLight station = make_station_light(room, *basis, glazing, outskirts(job.site), surface, p);
    LightVector e = light_from_outside(station, outside_of(m.sky), even);
    e += light_from_patches(station, l);
    CHECK(e.n == Approx(exact.e.n).epsilon(0.01));
    CHECK(std::hypot(e.x - exact.e.x, e.y - exact.e.y) < 0.01 * std::hypot(exact.e.x, exact.e.y, exact.e.n));
  }
  const FieldGrid& g = l.fields[0];
  for (const dvec2 p : {dvec2(5.0, 1.5), dvec2(3.0, 2.0), dvec2(1.0, 0.6)}) {
    const int i = static_cast<int>(std::lround((p.x - g.origin.x) / g.step.x)), j = static_cast<int>(std::lround((p.y - g.origin.y) / g.step.y));
    const LightSample exact = smooth_light(l, 0, g.origin + dvec2(i, j) * g.step), node = g.node[static_cast<std::size_t>(j) * g.nx + i];
    CHECK(node.e.n == Approx(exact.e.n).epsilon(0.01));
    CHECK(node.div_t == Approx(exact.div_t).margin(0.05 * exact.e.n));
  }
  // all sources by name come to the whole
  double sum = 0;
  for (const SourceShare& share : light_by_source(l, 5, {2.5, 2.0})) sum += share.e.n;
  CHECK(sum - sun_vector(l.sky, sun_at(l, {2.5, 2.0, 0}), {0, 0, 1}).z == Approx(smooth_light(l, 5, {2.5, 2.0}).e.n).epsilon(1e-6));
}

TEST_CASE("a window up to the ceiling and into both corners is lit as its parts", "[light]") {
  // the whole front of glass, no reveal and frame: from a facing point all of the view factor of the wall that it is (C-11)
  Job job = box_job(3, 4, 2.5);
  WindowSpec w = window_spec("W1", "B", 0, 0, 3, 2.5);
  w.reveal = 0.0;
  w.frame = 0.0;
  job.windows.push_back(w);
  const Room room = room_of(job);
  const Bands b = by_quadrature(room, 3, {1.2, 0.9}, Outskirts(), 0, true);
  const double x = 1.8;  // on plan
  const auto corner = [&](double a, double c) { return parallel_factor(a, c, 4); };
  CHECK((b.sky + b.ground).z / pi == Approx(corner(x, 0.9) + corner(3 - x, 0.9) + corner(x, 1.6) + corner(3 - x, 1.6)).epsilon(1e-5));
  const auto basis = make_basis(job, room, {});
  const Lighting l = make_lighting(job, room, basis, uniform_sky(job, 1000, 1000, 1000));
  CHECK(l.balance.residual < 1e-6);
  // no face of the room is left dark or burnt beside it
  for (int s = 0; s < 6; ++s)
    if (s != 1) {
      const double e = smooth_light(l, s, s < 4 ? dvec2(0.5, 2.4) : dvec2(1.5, 3.9)).e.n;
      CHECK(e > 100);
      CHECK(e < 2 * 1000 * pi);
    }
}
