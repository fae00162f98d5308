// Lamps with an opening: strips, panels and tabulated distributions, against closed forms.
#include <catch2/catch.hpp>
#include <cmath>

#include "base/random.h"
#include "base/units.h"
#include "light/lamp.h"
#include "light/photometry.h"
#include "light/standing.h"
#include "rooms.h"
#include "support/validated.h"

using namespace rakelight;
using namespace rakelight::testing;

namespace {

bool all_seen(dvec3) { return true; }

LampSpec strip_spec(dvec3 from, dvec3 to, dvec3 aim, double flux) {
  LampSpec l = lamp_spec("strip", from, flux, 120, 0.001);
  l.kind = LampKind::strip;
  l.to = to;
  l.to.given = true;
  l.aim = aim;
  l.aim.given = true;
  return l;
}

/// Light vector of a line from a to b of I' cd per metre at its peak, I' (w . aim), aim square to the line, at p on a face
/// with normal n. With r = d / cos t, x = d tan t the integral of h r / r^4 dx is
///   E = I' h / d^2 [w (t/2 + sin 2t / 4) + u sin^2 t / 2],  h = -w d . aim, w towards the line, u along it,
/// cut to what lies above the face. At a point that faces an endless line (h = d) it is I' pi / (2 d).
dvec3 line_light(dvec3 a, dvec3 b, dvec3 aim, double per_metre, dvec3 p, dvec3 n) {
  const dvec3 u = glm::normalize(b - a), foot = a + glm::dot(p - a, u) * u, w = foot - p;
  const double d = glm::length(w), h = -glm::dot(w, aim);
  double lo = glm::dot(a - foot, u), hi = glm::dot(b - foot, u);
  const double level = glm::dot(w, n), slope = glm::dot(u, n);
  if (slope > 0) lo = std::max(lo, -level / slope);
  if (slope < 0) hi = std::min(hi, -level / slope);
  if (h <= 0 || hi <= lo || (slope == 0 && level <= 0)) return dvec3(0);
  const auto at = [&](double x) {
    const double t = std::atan2(x, d);
    return (t / 2 + std::sin(2 * t) / 4) * (w / d) + 0.5 * std::sin(t) * std::sin(t) * u;
  };
  return per_metre * h / (d * d) * (at(hi) - at(lo));
}

}  // namespace

TEST_CASE("a strip is the exact line source, cut at the face's horizon", "[light]") {
  test::Validated found("strip, cut at the face's horizon", "closed form of a line of light, 300 random places", "2e-6");
  // 1e-6 of the light: Gauss's rule in angle leaves 1e-8, the strip's 1 mm of width the rest; nearer than ten times its
  // length, where it is looked at in parts
  const Room room = room_of(box_job(20, 20, 10));
  Random random(4);
  int lit = 0, cut = 0;
  for (int i = 0; i < 400; ++i) {
    const auto any = [&](double most) { return dvec3(random.uniform(-most, most), random.uniform(-most, most), random.uniform(-most, most)); };
    const dvec3 middle(10, 10, 5), a = middle + any(3), b = middle + any(3);
    if (glm::length(b - a) < 1) continue;
    const Lamp strip = make_lamp(strip_spec(a, b, any(1), 1000), room);
    const dvec3 n = glm::normalize(any(1)), p = middle + any(4);
    const double length = glm::length(b - a), off = glm::length(glm::cross(p - a, (b - a) / length));
    if (off < 0.05 * length) continue;
    CHECK(std::abs(glm::dot(strip.aim, b - a)) < 1e-9);
    CHECK(strip.peak == Approx(1000 / pi));
    const dvec3 exact = line_light(a, b, strip.aim, strip.peak / length, p, n), got = lamp_light(strip, p, n, all_seen);
    INFO("i " << i << " exact " << glm::length(exact) << " off " << glm::length(got - exact));
    if (glm::length(exact) > 1e-6) found.off(glm::length(got - exact) / glm::length(exact));
    CHECK(glm::length(got - exact) <= 2e-6 * glm::length(exact) + 1e-9);
    lit += glm::length(exact) > 0;
    cut += glm::length(exact) > 0 && (glm::dot(a - p, n) < 0) != (glm::dot(b - p, n) < 0);
  }
  CHECK(lit > 100);
  CHECK(cut > 40);
}

TEST_CASE("under a long strip light falls with the distance, not with its square", "[light]") {
  test::Validated found("endless strip", "E = π I′ / 2d", "1e-4");
  // an endless line of I' = 100 cd/m gives E = pi I' / (2 d); 200 m stand for it: what is missing beyond the ends is
  // 2/3 (d / 100 m)^3 of it
  const Room room = room_of(box_job(200, 4, 3));
  const Lamp strip = make_lamp(strip_spec({0, 2, 2.9}, {200, 2, 2.9}, {0, 0, -1}, pi * 100 * 200), room);
  for (double d : {0.5, 1.0, 2.5}) {
    const dvec3 e = lamp_light(strip, {100, 2, 2.9 - d}, {0, 0, 1}, all_seen);
    CHECK(found.share(e.z, pi * 100 / (2 * d)) == Approx(pi * 100 / (2 * d)).epsilon(1e-4));
    CHECK(std::abs(e.x) < 1e-6);
  }
}

TEST_CASE("the rule of five times the size is a rule of one percent", "[light]") {
  test::Validated found("round lamp from one to twenty times its size", "disc of even luminance, I / (d² + r²)",
                        "0.1 %, from ten times on 0.26 %", " %", 100);
  // a Lambertian disc of diameter s gives I0 / (d^2 + (s/2)^2) below it: at d = 5 s the point is 1 % too bright, at 10 s
  // 0.25 %. From ten times on the lamp is a point; below it the parts are within 1e-3 of the disc.
  Lamp lamp;
  lamp.exponent = 1;
  lamp.peak = 100;
  lamp.size = 0.2;
  for (double times : {1.0, 2.0, 5.0, 9.9, 10.0, 20.0}) {
    const double d = times * lamp.size;
    lamp.at = {0, 0, d};
    const double exact = 100 / (d * d + 0.01), got = lamp_light(lamp, dvec3(0), {0, 0, 1}, all_seen).z, point = 100 / (d * d);
    INFO(times << " times");
    CHECK(found.share(got, exact) == Approx(exact).epsilon(times < 10 ? 1e-3 : 2.6e-3));
    if (times == 5) CHECK(point / exact - 1 == Approx(0.01).epsilon(1e-6));
  }
}

TEST_CASE("a panel is a Lambertian rectangle", "[light]") {
  test::Validated found("panel", "Howell C-11", "1e-3");
  // factor to a rectangle a x b whose corner stands over the point, h away (Howell C-11); four of them make the panel.
  // E = pi L F with L = I0 / area. 1e-3: rules of two nodes across and four along at one and a half sides, finer nearer.
  const auto corner = [](double a, double b, double h) {
    const double x = a / h, y = b / h, u = std::sqrt(1 + x * x), v = std::sqrt(1 + y * y);
    return (x / u * std::atan(y / u) + y / v * std::atan(x / v)) / (2 * pi);
  };
  Lamp lamp;
  lamp.exponent = 1;
  lamp.peak = 100;
  lamp.x = {1, 0, 0};
  lamp.sides = {1.2, 0.3, 0};
  lamp.size = 1.2;
  for (double h : {0.1, 0.2, 0.5, 1.0, 2.0, 4.0})
    for (double off : {0.0, 0.2, 0.55}) {
      lamp.at = {0, 0, h};
      const double left = 0.6 - off, right = 0.6 + off;
      const double factor = 2 * (corner(left, 0.15, h) + corner(right, 0.15, h));
      const dvec3 e = lamp_light(lamp, {off, 0, 0}, {0, 0, 1}, all_seen);
      INFO("h " << h << " off " << off);
      CHECK(found.share(e.z, 100 / 0.36 * pi * factor) == Approx(100 / 0.36 * pi * factor).epsilon(1e-3));
    }
}

TEST_CASE("a lamp with a file sends out its flux, aimed and turned", "[light]") {
  const Room room = room_of(box_job(6, 6, 3));
  LampSpec spec = lamp_spec("L", {3, 3, 3}, 700, 60);
  spec.photometry = std::string("generic-wall-washing");
  Job job;
  job.lamps = {spec};
  Diagnostics diagnostics;
  load_photometry(job, {}, diagnostics);
  REQUIRE(diagnostics.all().empty());
  spec = job.lamps[0];
  REQUIRE(spec.distribution);
  const auto at = [&](const Lamp& lamp, dvec3 w) { return LampLight(lamp).candela(glm::normalize(w)); };
  const double rad = 35 * rad_per_deg, s = std::sin(rad), c = std::cos(rad);
  // C = 0 lies along plan +x at turn 0; a quarter turn takes it to +y
  Lamp lamp = make_lamp(spec, room);
  CHECK(lamp.size == Approx(0.1));
  CHECK(at(lamp, {s, 0, -c}) == Approx(spec.distribution->intensity(rad, 0)));
  CHECK(at(lamp, {0, s, -c}) == Approx(spec.distribution->intensity(rad, pi / 2)));
  CHECK(at(lamp, {-s, 0, -c}) == Approx(spec.distribution->intensity(rad, pi)));
  spec.turn = pi / 2;
  lamp = make_lamp(spec, room);
  CHECK(at(lamp, {0, s, -c}) == Approx(spec.distribution->intensity(rad, 0)));
  // aimed at a wall: C = 0 stays level, C = 90 points up
  spec.turn = 0.0;
  spec.aim = dvec3(0, 1, 0);
  lamp = make_lamp(spec, room);
  CHECK(at(lamp, {s, c, 0}) == Approx(spec.distribution->intensity(rad, 0)));
  CHECK(at(lamp, {0, c, s}) == Approx(spec.distribution->intensity(rad, pi / 2)));
  CHECK(at(lamp, {0, c, -s}) == Approx(spec.distribution->intensity(rad, 3 * pi / 2)));
  // straight up
  spec.aim = dvec3(0, 0, 1);
  lamp = make_lamp(spec, room);
  CHECK(at(lamp, {s, 0, c}) == Approx(spec.distribution->intensity(rad, 0)));
  // its own 1000 lm, or the flux that is given, dimmed
  CHECK(lamp.peak == 1);
  spec.flux.given = true;
  spec.dim = 0.25;
  CHECK(make_lamp(spec, room).peak == Approx(0.25 * 0.7).epsilon(1e-5));
  // a size in place of the file's
  spec.size.given = true;
  CHECK(make_lamp(spec, room).size == 0.08);
}

TEST_CASE("a table of the cosine is the cosine", "[light]") {
  // 1.5e-3: straight lines over 5 degrees
  const Room room = room_of(box_job(6, 6, 3));
  LampSpec plain = lamp_spec("L", {3, 3, 3}, 1000, 120, 0.3), filed = plain;
  filed.photometry = std::string("lambert.ies");
  Job job;
  job.lamps = {filed};
  Diagnostics diagnostics;
  const std::string text = "IESNA:LM-63-2002\nTILT=NONE\n1 -1 1 19 1 1 2 -.3 -.3 0 1 1 1\n0 5 10 15 20 25 30 35 40 45 50 55 60 65 70 75 80 85 90\n0\n"
      "1000 996.1947 984.8078 965.9258 939.6926 906.3078 866.0254 819.1520 766.0444 707.1068 642.7876 573.5764 500 422.6183 342.0201 258.8190 173.6482 87.1557 0\n";
  load_photometry(job, [&](const std::string& path) { return path == "lambert.ies" ? std::optional(text) : std::nullopt; }, diagnostics);
  REQUIRE(diagnostics.ok());
  filed = job.lamps[0];
  filed.flux.given = true;
  const Lamp a = make_lamp(plain, room), b = make_lamp(filed, room);
  CHECK(b.sides == dvec3(0));
  for (dvec3 p : {dvec3(3, 3, 0), dvec3(0, 3, 1.5), dvec3(6, 5, 2.8), dvec3(3.2, 3, 2.7)}) {
    const dvec3 n = p.x == 0 ? dvec3(1, 0, 0) : p.x == 6 ? dvec3(-1, 0, 0) : dvec3(0, 0, 1);
    CHECK(lamp_light(b, p, n, all_seen).z == Approx(lamp_light(a, p, n, all_seen).z).epsilon(1.5e-3));
  }
}

TEST_CASE("files that cannot be had are told at the lamp's key", "[light]") {
  Job job;
  job.lamps = {lamp_spec("L", {3, 3, 3}, 700, 60)};
  const auto report = [&](const std::string& name, const std::string& bytes) {
    job.lamps[0].photometry = name;
    job.lamps[0].distribution.reset();
    Diagnostics diagnostics;
    load_photometry(job, [&](const std::string& path) { return path == "lamps/a.ies" ? std::optional(bytes) : std::nullopt; }, diagnostics);
    return diagnostics.to_text("job.toml", "");
  };
  CHECK(report("lamps/b.ies", "").find("error: cannot read the photometric file lamps/b.ies") != std::string::npos);
  CHECK(report("generic-narow", "").find("did you mean \"generic-narrow\"?") != std::string::npos);
  const std::string damaged = report("lamps/a.ies", "IESNA91\nTILT=NONE\n1 1000 x\n");
  CHECK(damaged.find("error: the photometric file is damaged:") != std::string::npos);
  CHECK(damaged.find("lamps/a.ies:3:8: error: the candela multiplier is \"x\"") != std::string::npos);
  CHECK(report("lamps/a.ies", "IESNA91\nTILT=NONE\n1 -1 1 2 1 1 2 0 0 0 1 1 1\n0 90\n0\n5 5\n").empty());
  CHECK(job.lamps[0].distribution);
}

TEST_CASE("strips, wall lights, dimmed and held lamps light the room by their flux", "[light]") {
  test::Validated found("flux of a strip, a wall lamp, a dimmed and a held lamp", "what all faces of a room take in", "1 %", " %", 100);
  // energy: what the patches take in is what the lamps send out (4 x 4 points a patch: 1 %, and a strip at 100 mm rakes)
  Job job = box_job(4, 5, 2.65);
  LampSpec cove = strip_spec({0.1, 0.5, 2.5}, {0.1, 4.5, 2.5}, {0.3, 0, 1}, 4000);
  cove.size = 0.01;
  LampSpec wall = lamp_spec("wall", {0, 2.5, 1.8}, 600, 120, 0.1);
  wall.kind = LampKind::wall;
  LampSpec hand = lamp_spec("hand", {2, 2, 1}, 1000, 90, 0.1);
  hand.kind = LampKind::hand;
  job.lamps = {cove, wall, hand};
  job.lamps[1].dim = 0.5;
  const Room room = room_of(job);
  CHECK(make_lamp(wall, room).aim == dvec3(1, 0, 0));
  LightDetail detail;
  const auto basis = make_basis(job, room, detail);
  const auto absorbed = [&](const Moment& moment) {
    const Lighting l = make_lighting(job, room, basis, moment);
    double sum = 0;
    const auto& all = patches(*basis);
    for (std::size_t i = 0; i < all.size(); ++i)
      if (all[i].reflectance > 0) sum += all[i].area * l.patch_exitance[i] * (1 / all[i].reflectance - 1);
    return sum;
  };
  Moment moment = lamps_only(job);
  CHECK(found.share(absorbed(moment), 4000 + 300 + 1000) == Approx(4000 + 300 + 1000).epsilon(0.01));
  moment.lamp_on = {0.25, 1, 0};
  CHECK(found.share(absorbed(moment), 1000 + 300) == Approx(1000 + 300).epsilon(0.01));
  moment.lamp_on = {0, 0, 1};
  moment.held = {{2, {0.5, 4, 1.5}, {-1, 0, 0}}};
  CHECK(found.share(absorbed(moment), 1000) == Approx(1000).epsilon(0.01));
  const Lighting held = make_lighting(job, room, basis, moment);
  CHECK(held.lamps.at(0).at == dvec3(0.5, 4, 1.5));
  CHECK(held.lamps.at(0).aim == dvec3(-1, 0, 0));
  // below it the wall is brightest where it points: I / d2
  const auto shares = light_by_source(held, 0, {4, 1.5});
  double n = 0;
  for (const SourceShare& s : shares)
    if (s.name == "hand") n = s.e.n;
  CHECK(n == Approx(held.lamps[0].peak / 0.25).epsilon(0.02));  // an opening of 0.1 m from 0.5 m: 2 % of the closed disc
}

TEST_CASE("the standing set of lamps that come later", "[light]") {
  const Room room = room_of(box_job(4, 6, 2.65));
  const auto find = [](const std::vector<Lamp>& lamps, const std::string& name) {
    for (const Lamp& l : lamps)
      if (l.name == name) return l;
    FAIL("no " << name);
    return Lamp();
  };
  const auto wall = standing_lamps(room, 0);
  CHECK(wall.size() == 6);
  for (const auto& [name, off] : {std::pair{"downlight at 150 mm", 0.15}, {"downlight at 300 mm", 0.3}, {"downlight at 600 mm", 0.6}}) {
    const Lamp l = find(wall, name);
    CHECK(room.surfaces[0].frame.height_of(l.at) == Approx(off));
    CHECK(l.at.z == Approx(2.65));
    CHECK(room.surfaces[0].frame.surface_from_world(l.at).x == Approx(3));
  }
  const auto ceiling = standing_lamps(room, room.ceiling());
  for (const auto& lamps : {wall, ceiling})
    for (const Lamp& l : lamps) {
      INFO(l.name);
      CHECK(room.contains(dvec2(l.at)));
      CHECK(l.at.z <= 2.65);
    }
  // every one of them lights its surface
  for (const int surface : {0, 1, 2, 3, room.ceiling()})
    for (const Lamp& l : standing_lamps(room, surface)) {
      const Surface& s = room.surfaces[surface];
      double most = 0;
      for (int i = 1; i < 10; ++i)
        for (int j = 1; j < 10; ++j) {
          const dvec2 p = s.box.lo + dvec2(0.1 * i, 0.1 * j) * (s.box.hi - s.box.lo);
          most = std::max(most, glm::dot(lamp_light(l, s.frame.world_from_surface(p), s.frame.n, all_seen), s.frame.n));
        }
      INFO(s.name << ": " << l.name);
      CHECK(most > 5);
    }
  // a bare bulb shines all round: 800 lm / 4 pi sr
  const Lamp bulb = find(wall, "bare bulb");
  for (dvec3 w : {dvec3(0, 0, 1), dvec3(0, 0, -1), dvec3(1, 0, 0)}) CHECK(LampLight(bulb).candela(w) == Approx(800 / (4 * pi)));
}
