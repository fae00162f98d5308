// How a window's view is parted into sky, skyline and ground, against closed forms and plain sums over the glass; and
// what the sky's table and the patches leave.
#include <catch2/catch.hpp>
#include <cmath>
#include <fmt/format.h>

#include "base/quadrature.h"
#include "base/random.h"
#include "kernel/sky.h"
#include "light/sky_table.h"
#include "light/window_light.h"
#include "rooms.h"
#include "support/validated.h"

using namespace rakelight;
using namespace rakelight::testing;

namespace {

/// Light vectors, in the receiver's frame, of each band at luminance 1.
struct PlainBands { dvec3 sky{0}, skyline{0}, ground{0}; };

PlainBands by_quadrature(const Room& room, int surface, dvec2 p, double skyline, const Glazing& glazing, bool clear_glass) {
  const Surface& s = room.surfaces[surface];
  const dvec3 out = -room.surfaces[room.windows[0].surface].frame.n;
  OutsideShape shape;
  shape.skyline = skyline;
  PlainBands bands;
  through_window(room, 0, glazing, Receiver{s.frame.world_from_surface(p), s.frame.n, -1}, shape, [&](const Ray& ray) {
    const double passed = clear_glass ? transmittance(glazing, std::acos(glm::dot(ray.w, out))) : 1;
    const dvec3 e = s.frame.surface_direction(ray.w) * (ray.solid / passed);
    (ray.band == Band::sky ? bands.sky : ray.band == Band::skyline ? bands.skyline : bands.ground) += e;
  });
  return bands;
}

/// The same by n × n middles of the glass, each looked at through the opening and parted by its own altitude.
PlainBands by_sum(const Room& room, int surface, dvec2 spot, double skyline, const Glazing& glazing, int n) {
  const Surface& s = room.surfaces[surface];
  const Window& w = room.windows[0];
  const Frame& f = room.surfaces[w.surface].frame;
  const dvec3 p = s.frame.world_from_surface(spot);
  const Rect g = w.glass();
  PlainBands bands;
  for (int j = 0; j < n; ++j)
    for (int i = 0; i < n; ++i) {
      const dvec3 q = f.world_from_surface(g.lo + dvec2((i + 0.5) / n, (j + 0.5) / n) * (g.hi - g.lo), -w.reveal);
      const dvec3 r = q - p;
      const double h = f.height_of(p), d = glm::length(r), cosine = -glm::dot(r, f.n) / d;
      if (glm::dot(r, s.frame.n) <= 0 || !w.opening.contains(f.surface_from_world(p + h / (h + w.reveal) * r))) continue;
      const double part = transmittance(glazing, std::acos(cosine)) * cosine / (d * d) * g.width() * g.height() / (n * n);
      const dvec3 e = s.frame.surface_direction(r / d) * part;
      const double altitude = std::asin(r.z / d);
      (altitude < 0 ? bands.ground : altitude < skyline ? bands.skyline : bands.sky) += e;
    }
  return bands;
}

/// A window without reveal and frame in wall B: 1.5 × 1.5 m, sill 0.8 m, 0.25 m from wall A.
Job bare_window() {
  Job job = demo_job();
  job.windows[0].reveal = 0.0;
  job.windows[0].frame = 0.0;
  return job;
}

}  // namespace

TEST_CASE("a window's sky and ground meet at the horizon as closed forms say", "[light]") {
  test::Validated found("sky and ground through a window, met at the horizon", "Howell C-11 and C-12", "1e-5");
  // Open horizon. A wall facing the window at x, height y: the glass above y is sky, the rest ground (Howell C-11); a floor
  // sees sky only, a ceiling ground only (C-12). The glass's transmittance is divided out ray by ray. Gauss nodes: 1e-5.
  const Job job = bare_window();
  const Room room = room_of(job);
  const Glazing glazing = make_glazing(Glass::double_pane, 0);
  const double x0 = 0.25, x1 = 1.75, y0 = 0.8, y1 = 2.3, c = 6.2;
  for (const dvec2 p : {dvec2(0.1, 1.3), dvec2(1.0, 1.6), dvec2(3.9, 0.3), dvec2(2.2, 2.5)}) {  // plan x, height
    const auto factor = [&](double low, double high) {
      const auto corner = [&](double x, double y) {
        const double a = x - p.x, b = y - p.y;
        return (a < 0 ? -1 : 1) * (b < 0 ? -1 : 1) * parallel_factor(std::abs(a), std::abs(b), c);
      };
      return high <= low ? 0 : corner(x1, high) - corner(x0, high) - corner(x1, low) + corner(x0, low);
    };
    const PlainBands bands = by_quadrature(room, 3, {4.2 - p.x, p.y}, 0, glazing, true);
    INFO("facing wall, " << p.x << ", " << p.y);
    CHECK(bands.sky.z / pi == Approx(factor(std::max(y0, p.y), y1)).margin(1e-6).epsilon(1e-5));
    CHECK(bands.ground.z / pi == Approx(factor(y0, std::min(y1, p.y))).margin(1e-6).epsilon(1e-5));
    CHECK(glm::length(bands.skyline) == 0);
  }
  for (const dvec2 p : {dvec2(0.1, 5.5), dvec2(1, 4), dvec2(3.8, 2)}) {
    const double distance = 6.2 - p.y;
    const auto factor = [&](double low, double high) {
      const auto corner = [&](double x, double a) { return (x < p.x ? -1 : 1) * upright_factor(a, std::abs(x - p.x), distance); };
      return corner(x1, high) - corner(x0, high) - corner(x1, low) + corner(x0, low);
    };
    const PlainBands floor = by_quadrature(room, room.floor(), p, 0, glazing, true);
    const PlainBands ceiling = by_quadrature(room, room.ceiling(), p, 0, glazing, true);
    INFO("floor and ceiling, " << p.x << ", " << p.y);
    CHECK(found.share(floor.sky.z / pi, factor(y0, y1)) == Approx(factor(y0, y1)).epsilon(1e-5));
    CHECK(glm::length(floor.ground) == 0);
    CHECK(found.share(ceiling.ground.z / pi, factor(2.65 - y1, 2.65 - y0)) == Approx(factor(2.65 - y1, 2.65 - y0)).epsilon(1e-5));
    CHECK(glm::length(ceiling.sky) == 0);
  }
}

TEST_CASE("with black ground a flat ceiling has no direct light, whatever the skyline", "[light]") {
  // every line from the ceiling through the glass goes down, below skyline and horizon
  const Job job = demo_job();  // skyline 3°
  const Room room = room_of(job);
  const Lighting l = make_lighting(job, room, make_basis(job, room, {}), uniform_sky(job, 5000, 2000, 0));
  Random random(12);
  for (int k = 0; k < 20; ++k) {
    const dvec2 p(random.uniform(0.05, 4.15), random.uniform(0.05, 6.15));
    for (const SourceShare& s : light_by_source(l, room.ceiling(), p))
      if (s.name != "bounce") CHECK(std::hypot(s.e.x, s.e.y, s.e.n) == 0);
  }
}

TEST_CASE("sky, skyline and ground agree with a plain sum over the glass", "[light]") {
  test::Validated found("sky, skyline and ground through a window", "plain sums over 360,000 points of the glass, 7 places × 2 skylines",
                        "0.3 % of the whole", " %", 100);
  // 600 × 600 middles leave about the share of a row of cells along each edge: 0.3 % of the band and of the whole
  const Job job = demo_job();
  const Room room = room_of(job);
  const Glazing glazing = make_glazing(Glass::double_pane, 0);
  struct Spot { int surface; dvec2 p; };
  for (const double skyline : {3 * rad_per_deg, 12 * rad_per_deg})
    for (const Spot& spot : {Spot{0, {5.8, 1.2}}, Spot{0, {2, 1.3}}, Spot{0, {0.5, 2.4}}, Spot{2, {1, 0.4}}, Spot{3, {3, 1.5}}, Spot{4, {1.5, 5}}, Spot{5, {1, 5}}}) {
      const PlainBands a = by_quadrature(room, spot.surface, spot.p, skyline, glazing, false);
      const PlainBands b = by_sum(room, spot.surface, spot.p, skyline, glazing, 600);
      const double all = glm::length(b.sky + b.skyline + b.ground);
      INFO("surface " << spot.surface << " at " << spot.p.x << ", " << spot.p.y << ", skyline " << skyline * deg_per_rad);
      for (const dvec3 d : {a.sky - b.sky, a.skyline - b.skyline, a.ground - b.ground}) found.off(glm::length(d) / all);
      CHECK(glm::length(a.sky - b.sky) < 3e-3 * all);
      CHECK(glm::length(a.skyline - b.skyline) < 3e-3 * all);
      CHECK(glm::length(a.ground - b.ground) < 3e-3 * all);
    }
}

TEST_CASE("what comes through the glass lands in the room", "[light]") {
  test::Validated found("flux of an even outside through the glass", "π L A T; what lands in the room", "1 %", " %", 100);
  // Even luminance all round: flux = pi L A T, T the transmittance for light from all round. Nothing bounces. The frame
  // is left out; cells are taken at their middles and their windows by few nodes: 1 %.
  Job job = demo_job();
  job.windows[0].frame = 0.0;
  job.room.floor_reflectance = job.room.wall_reflectance = job.room.ceiling_reflectance = 1e-7;
  job.windows[0].reveal_reflectance = 1e-7;
  const Room room = room_of(job);
  const Lighting l = make_lighting(job, room, make_basis(job, room, {}), uniform_sky(job, 1000, 1000, 1000));
  double landed = 0, passed = 0;
  for (std::size_t i = 0; i < patches(*l.basis).size(); ++i) {
    const Patch& p = patches(*l.basis)[i];
    if (p.area > 0 && p.reflectance < 1e-3) landed += p.area * l.patch_exitance[i] / p.reflectance;
  }
  for (const Node& c : gauss_nodes(32)) passed += c.weight * 2 * c.x * transmittance(l.glazing[0], std::acos(c.x));
  CHECK(found.share(landed, pi * 1000 * 1.5 * 1.5 * passed) == Approx(pi * 1000 * 1.5 * 1.5 * passed).epsilon(0.01));
}

TEST_CASE("the sky's table converges", "[light]") {
  test::Validated found("sky's table of about 145, 577 and 2305 places, and the one in use: raking ratio",
                        "the sky itself along the same rays, 42 places of a wall in low sun", "errors fall; the one in use 0.1 %");
  // Tables of about 145, 577 and 2305 places, and the one in use, against the sky itself at the same rays: raking ratio of
  // the sky's light along the wall beside the window, sun low in it. Errors fall by the square of the spacing where the
  // sky is smooth, by the spacing at the sun.
  const Job job = demo_job();
  const Room room = room_of(job);
  const Moment moment = clear_sky(job, {-0.15, 1, 0.3});
  const Glazing glazing = make_glazing(Glass::double_pane, 0);
  kernel::Outside outside = outside_of(moment.sky);
  OutsideShape shape;
  shape.skyline = moment.sky.skyline;
  const Surface& wall = room.surfaces[0];
  const auto ratio = [&](dvec2 p, const SkyTable* table) {
    dvec3 e(0);
    through_window(room, 0, glazing, Receiver{wall.frame.world_from_surface(p), wall.frame.n, -1}, shape, [&](const Ray& ray) {
      if (ray.band != Band::sky) return;
      const double luminance = table ? table->at(sky_place(ray.azimuth, ray.altitude)) : kernel::outside_luminance(outside, ray.w);
      e += luminance * ray.solid * wall.frame.surface_direction(ray.w);
    });
    return std::hypot(e.x, e.y) / e.z;
  };
  const int sizes[][2] = {{16, 9}, {32, 18}, {64, 36}, {512, 128}};
  double worst[4];
  for (int k = 0; k < 4; ++k) {
    const SkyTable table(moment.sky, sizes[k][0], sizes[k][1]);
    worst[k] = 0;
    for (double x = 0.4; x < 6; x += 0.4)
      for (double y : {0.5, 1.3, 2.2}) worst[k] = std::max(worst[k], std::abs(ratio({x, y}, &table) / ratio({x, y}, nullptr) - 1));
    INFO(sizes[k][0] << " × " << sizes[k][1] << ": " << worst[k]);
    if (k > 0) CHECK(worst[k] < 0.7 * worst[k - 1]);
  }
  INFO(worst[0] << " " << worst[1] << " " << worst[2] << " " << worst[3]);
  found.says(fmt::format("{:.2g}, {:.2g}, {:.2g} % and {:.2g} %", 100 * worst[0], 100 * worst[1], 100 * worst[2], 100 * worst[3]));
  CHECK(worst[0] < 0.05);
  CHECK(worst[3] < 1e-3);
}

TEST_CASE("bounced light converges with finer patches, and its solver comes to rest", "[light]") {
  test::Validated found("bounced light with patches of 0.5 m and of 0.25 m", "patches of 0.125 m, a small room with the sun on its floor and wall",
                        "4 % and 1 % at 95 of 100 points");
  // A small room with the sun on its floor and wall, against patches of 0.125 m: at 95 of 100 points patches of 0.5 m are
  // within 4 %, those of 0.25 m within 1 %. Products in float end at 1e-6, and conjugate gradients need some ten of them.
  Job job = box_job(2.6, 3.2, 2.4);
  job.windows.push_back(window_spec("W1", "B", 0.3, 0.8, 1.2, 1.2));
  const Room room = room_of(job);
  const Moment moment = clear_sky(job, {-0.3, 0.8, 0.5});
  const auto at = [&](double patch) {
    LightDetail detail;
    detail.patch = patch;
    return make_lighting(job, room, make_basis(job, room, detail), moment);
  };
  const Lighting fine = at(0.125), middle = at(0.25), coarse = at(0.5);
  for (const Lighting* l : {&fine, &middle, &coarse}) {
    CHECK(l->balance.residual < 1e-6);
    CHECK(l->balance.steps < 40);
  }
  std::vector<double> off_middle, off_coarse;
  Random random(4);
  const auto bounce = [](const Lighting& l, int s, dvec2 p) { return light_by_source(l, s, p).back().e.n; };
  for (int s : {0, 2, 3, 4, 5})
    for (int k = 0; k < 40; ++k) {
      const Rect box = room.surfaces[s].box;
      const dvec2 p(random.uniform(box.lo.x + 0.005, box.hi.x - 0.005), random.uniform(box.lo.y + 0.005, box.hi.y - 0.005));
      const double exact = bounce(fine, s, p);
      off_middle.push_back(std::abs(bounce(middle, s, p) / exact - 1));
      off_coarse.push_back(std::abs(bounce(coarse, s, p) / exact - 1));
    }
  const auto p95 = [](std::vector<double> v) {
    std::sort(v.begin(), v.end());
    return v[v.size() * 95 / 100];
  };
  INFO("0.25 m: " << p95(off_middle) << ", 0.5 m: " << p95(off_coarse));
  found.says(fmt::format("{:.2g} % and {:.2g} % at 95 of 100 points", 100 * p95(off_coarse), 100 * p95(off_middle)));
  CHECK(p95(off_middle) < 0.01);
  CHECK(p95(off_coarse) < 0.04);
  CHECK(p95(off_middle) < p95(off_coarse));
}
