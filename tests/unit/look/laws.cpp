// Laws that hold whatever the numbers: even light, scaling, mirroring, integrals, no NaN.
#include <catch2/catch.hpp>
#include <cmath>
#include <memory>

#include "base/quadrature.h"
#include "base/random.h"
#include "unit/look/stage.h"
#include "support/validated.h"

using namespace rakelight;
using namespace rakelight::testing;

namespace {

constexpr double law_crown = 1.2e-3, law_half_width = 0.25;
constexpr dvec2 law_from{3, 0.2}, law_to{3, 2.4};

WindowSpec window_beside_a_corner(double left = 0.25) {
  WindowSpec w;
  w.name = std::string("W1");
  w.wall = std::string("B");
  w.from_left = left;
  w.sill = 0.8;
  w.width = 1.5;
  w.height = 1.3;
  w.reveal = 0.18;
  w.reveal_reflectance = 0.7;
  w.frame = 0.07;
  w.glazing = Glass::double_pane;
  return w;
}

SkyState clear_sky(dvec3 to_sun, double direct_normal) {
  SkyState sky;
  sky.dark = false;
  sky.a = -1, sky.b = -0.32, sky.c = 10, sky.d = -3, sky.e = 0.45;
  sky.iso_type = 12;
  sky.sun_direction = sky.indicatrix_sun = glm::normalize(to_sun);
  sky.sun_up = direct_normal > 0;
  sky.direct_normal = direct_normal;
  sky.zenith_luminance = 3000;
  sky.skyline = 3 * rad_per_deg;
  sky.skyline_luminance = 1500;
  sky.ground_luminance = 2000;
  return sky;
}

double worst(const ContrastProfile& p) {
  double w = 0;
  for (const double c : p.contrast) w = std::max(w, std::abs(c));
  return w;
}

}  // namespace

TEST_CASE("furnace: in even light a white face has no relief, whatever its coat") {
  test::Validated found("furnace: a white face in even light, any coat", "1 (energy), 7 paints × 4 elevations", "1e-9");
  Stage stage;
  stage.even_light(1);
  const Scene bare = stage.scene();
  for (const char* name : {"dead-matt", "matt", "low-sheen", "eggshell", "satin", "semi-gloss", "gloss"})
    for (const double elevation : {90.0, 45.0, 20.0, 8.0}) {
      INFO(name << " from " << elevation << " degrees");
      stage.paint(Stage::named(name, 1.0));
      const Scene scene = stage.scene();
      kernel::SceneKernels k = kernels_of(scene);
      const double e = elevation * rad_per_deg;
      const dvec3 at = stage.room.surfaces[0].frame.world_from_surface({3, 1.3});
      const auto place = k.place_of(0, {3, 1.3}, at + 1.0 * dvec3(std::sin(e), std::cos(e), 0));
      for (const dvec2 slope : {dvec2(0.03, 0), dvec2(-0.03, 0), dvec2(0.01, -0.02), dvec2(0.07, 0.0)}) {
        kernel::SceneKernels::Facet f = k.flat_facet();
        f.slope = slope;
        f.near = true;
        // the light vector of even light of radiance 1 is pi along the normal
        auto s = k.shade_facet(place, dvec4(0, 0, pi, 0), f);
        const double even = std::sqrt(1 + glm::dot(slope, slope));
        // E_n / sqrt(1 + slope²) is the light from the wall's own half space; what the facet sees of the wall itself
        // fills the rest, second order in the slope and left out by the first-order light vector
        CHECK(found.near(s.flat_luminance, 1) == Approx(1).margin(1e-9));
        CHECK(s.luminance * even == Approx(1).margin(3e-3 * glm::dot(slope, slope) * 1000 + 1e-9));
        CHECK(std::abs(s.luminance / s.flat_luminance - 1) < (glm::length(slope) > 0.05 ? 3e-3 : 1e-3));
      }
    }
}

TEST_CASE("furnace: painted walls in an evenly lit room, joints and sheen in the whole path") {
  // a coat over a base that keeps some of the light sends back a little more towards grazing, and a tilted facet a
  // little more or less: that is the paint's own change and no fault. From 20 degrees up it is under 1e-3.
  Stage stage;
  stage.even_light(10);
  stage.reliefs[0].joints = {raised_cosine(0, law_from, law_to, law_crown, law_half_width)};
  for (const char* name : {"dead-matt", "matt", "low-sheen", "eggshell", "satin"})
    for (const dvec3 eye : {dvec3(2, 3, 1.3), dvec3(1.5, 0.5, 1.6), dvec3(3, 5.5, 1.2)}) {
      INFO(name << " from " << eye.x << "," << eye.y);
      stage.paint(Stage::named(name, 0.82));
      for (const auto& p : stage.profiles(0, {1.1}, eye)) CHECK(worst(p) < 1e-3);
    }
}

TEST_CASE("even light from all round never raises contrast") {
  Random random(11);
  for (int i = 0; i < 6; ++i) {
    Stage stage;
    stage.paint(Stage::named(i % 2 ? "matt" : "dead-matt", 0.82));
    stage.reliefs[0].joints = {raised_cosine(0, law_from, law_to, law_crown, law_half_width)};
    const double e = random.uniform(6, 30) * rad_per_deg, turn = random.uniform(-1, 1);
    stage.lighting.lamps = {far_lamp({std::sin(e), std::cos(e) * std::cos(turn), std::cos(e) * std::sin(turn)}, 300)};
    const dvec3 eye{random.uniform(1, 3), random.uniform(1, 5), 1.6};
    double last = 1e9;
    for (const double radiance : {0.0, 5.0, 20.0, 100.0}) {
      stage.even_light(radiance);
      const double w = worst(stage.profiles(0, {1.1}, eye).at(0));
      CHECK(w <= last * (1 + 1e-9));
      last = w;
    }
  }
}

TEST_CASE("scaling all lamps leaves contrast") {
  Stage stage;
  stage.paint(Stage::named("eggshell", 0.82));
  stage.reliefs[0].joints = {raised_cosine(0, law_from, law_to, law_crown, law_half_width)};
  Lamp near;
  near.at = {0.25, 3.1, 2.5};
  near.peak = 300;
  near.exponent = 2;
  near.size = 0.08;
  stage.lighting.lamps = {near, far_lamp({0.2, 1, 0.1})};
  const auto before = stage.profiles(0, {0.6}, {1.5, 2, 1.6}).at(0);
  for (Lamp& l : stage.lighting.lamps) l.peak *= 7;
  const auto after = stage.profiles(0, {0.6}, {1.5, 2, 1.6}).at(0);
  REQUIRE(before.contrast.size() == after.contrast.size());
  for (std::size_t i = 0; i < before.contrast.size(); ++i) CHECK(after.contrast[i] == Approx(before.contrast[i]).epsilon(1e-9).margin(1e-12));
  CHECK(after.flat_luminance == Approx(7 * before.flat_luminance));
}

TEST_CASE("a mirrored room gives the mirrored contrast") {
  // mirrored in plan y = 3, the middle of wall A
  const auto build = [](bool mirrored) -> std::unique_ptr<Stage> {
    const double left = 0.25;
    WindowSpec w = window_beside_a_corner(left);
    if (mirrored) {
      w.wall = std::string("D");
      w.from_left = 4 - left - *w.width;
    }
    auto stage = std::make_unique<Stage>(std::vector<WindowSpec>{w}, std::vector<dvec2>{{0, 0}, {0, 6}, {4, 6}, {4, 0}},
                                               std::vector<int>{}, clear_sky({0.1, mirrored ? -1 : 1, 0.3}, 20000));
    stage->paint(Stage::named("low-sheen", 0.82));
    const double y = mirrored ? 2 : 4;
    stage->reliefs[0].joints = {shaped_joint(0, {y, 0.2}, {y, 2.4}, law_half_width, 0.5e-3, [=](double u) {
      const double v = mirrored ? -u : u, sign = mirrored ? -1 : 1;
      const double t = v / law_half_width, bell = (1 - t * t) * (1 - t * t);
      return HeightAndSlope{law_crown * bell * (1 + 0.3 * t), sign * law_crown / law_half_width * (-4 * t * (1 - t * t) * (1 + 0.3 * t) + 0.3 * bell)};
    })};
    Lamp lamp;
    lamp.at = {0.3, mirrored ? 1.5 : 4.5, 2.5};
    lamp.peak = 200;
    lamp.exponent = 1.5;
    stage->lighting.lamps = {lamp};
    return stage;
  };
  const auto here = build(false), there = build(true);
  const auto a = here->profiles(0, {0.9}, {1.5, 2.5, 1.5}).at(0), b = there->profiles(0, {0.9}, {1.5, 3.5, 1.5}).at(0);
  REQUIRE(a.contrast.size() == b.contrast.size());
  CHECK(worst(a) > 0.01);
  const std::size_t n = a.contrast.size();
  for (std::size_t i = 0; i < n; ++i)
    // the light basis meshes patches and sky from one end; its own asymmetry enters at a few 1e-5
    CHECK(b.contrast[n - 1 - i] == Approx(a.contrast[i]).margin(2e-4));
}

TEST_CASE("what relief adds to a wall integrates to nothing, and equals direct differentiation") {
  test::Validated found("contrast of relief under a near lamp", "δE = −∇h·E_t − h div E_t with the light vector differentiated by hand, 4 places",
                        "0.1 %", " %", 100);
  // a joint that ends inside the wall under a lamp 150 mm off it; heights of a micrometre, so that the first order is all
  Stage stage;
  const dvec2 from{2.7, 1.1}, to{2.7, 1.9};
  const double half = 0.15, tiny = 1e-6;
  stage.reliefs[0].joints = {raised_cosine(0, from, to, tiny, half)};
  Lamp lamp;
  lamp.at = {0.15, 2.9, 2.3};
  lamp.peak = 500;
  lamp.exponent = 1;
  stage.lighting.lamps = {lamp};
  const Scene scene = stage.scene();
  kernel::SceneKernels k = kernels_of(scene);
  const dvec3 eye{3, 3, 1.3};
  double sum = 0, size = 0;
  const int nx = 200, ny = 400;
  for (int i = 0; i < nx; ++i)
    for (int j = 0; j < ny; ++j) {
      const dvec2 p = from + dvec2(-half + 2 * half * (i + 0.5) / nx, 0.8 * (j + 0.5) / ny);
      const auto s = k.shade_point(0, p, eye, 0, dvec4(0));
      sum += s.luminance - s.flat_luminance;
      size += std::abs(s.luminance - s.flat_luminance);
    }
  REQUIRE(size > 0);
  // midpoint sums of a compact bump that is smooth but for kinks in the second derivative: 1e-4 of the absolute sum;
  // the second order of 1 µm is 1e-5 of the first
  CHECK(std::abs(sum) < 2e-4 * size);

  // δE = -∇h.E_t - h div E_t with the lamp's light vector differentiated by hand
  const auto vector_at = [&](dvec2 p) {
    const Frame& f = stage.room.surfaces[0].frame;
    return f.surface_direction(kernel::lamp_vector(lamp.at - f.world_from_surface(p), lamp.aim, lamp.peak, lamp.exponent));
  };
  const double d = 1e-4;
  for (const dvec2 offset : {dvec2(0.05, 0.5), dvec2(-0.1, 0.3), dvec2(0.02, 0.7), dvec2(0.11, 0.05)}) {
    const dvec2 p = from + offset;
    const auto facet = k.scene_relief(0, p, 0);
    const dvec3 e = vector_at(p);
    const double div = (vector_at(p + dvec2(d, 0)).x - vector_at(p - dvec2(d, 0)).x + vector_at(p + dvec2(0, d)).y -
                        vector_at(p - dvec2(0, d)).y) / (2 * d);
    const double expected = -(facet.slope.x * e.x + facet.slope.y * e.y) - facet.h * div;
    const auto s = k.shade_point(0, p, eye, 0, dvec4(0));
    // luminance of a Lambert face is rho/pi times its illuminance; 1e-3 for the second order and the differences
    CHECK(found.share((s.luminance - s.flat_luminance) * pi / 0.8, expected) == Approx(expected).epsilon(1e-3));
  }
}

TEST_CASE("the interpolated profile is the exact one to 0.02 points") {
  test::Validated found("profile across a joint, interpolated", "every cell shaded by itself", "0.02 points", " points", 100);
  Stage stage({window_beside_a_corner()}, {{0, 0}, {0, 6}, {4, 6}, {4, 0}}, {}, clear_sky({0.3, 1, 0.4}, 0));
  const PlacedJoint joint = raised_cosine(0, {4, 0.2}, {4, 2.4}, law_crown, law_half_width);
  stage.reliefs[0].joints = {joint};
  for (const char* name : {"matt", "eggshell"})
    for (const dvec3 eye : {dvec3(2, 4, 1.5), dvec3(0.6, 1.0, 1.6), dvec3(3, 0.4, 1.6)}) {
      stage.paint(Stage::named(name, 0.82));
      const Scene scene = stage.scene();
      kernel::SceneKernels k = kernels_of(scene);
      const auto p = contrast_across(scene, stage.lighting, stage.room, 0, stage.reliefs[0], 0, {1.1}, eye).at(0);
      double error = 0;
      for (std::size_t i = 0; i < p.offset.size(); i += 23) {
        const dvec2 at{4 + p.offset[i], 1.3};
        const LightSample e = smooth_light(stage.lighting, 0, at);
        const auto place = k.place_of(0, at, eye);
        const auto s = k.shade_facet(place, dvec4(e.e.x, e.e.y, e.e.n, e.div_t), k.scene_relief(0, at, 1e-3));
        error = std::max(error, std::abs(p.contrast[i] - (s.luminance / s.flat_luminance - 1)));
      }
      INFO(name << " from " << eye.x << "," << eye.y);
      CHECK(worst(p) > 2e-3);
      CHECK(found.off(error) < 2e-4);
    }
}

TEST_CASE("lamps held in the table give the exact profile to 0.02 points") {
  test::Validated found("profile across a joint under lamps held in its table", "every cell shaded by itself", "0.02 points", " points", 100);
  Stage stage;
  stage.paint(Stage::named("low-sheen", 0.82));
  stage.even_light(3);
  stage.reliefs[0].joints = {raised_cosine(0, {4, 0.2}, {4, 2.4}, law_crown, law_half_width)};
  Lamp ceiling;  // 1.5 m off: in the table
  ceiling.at = {0.4, 3, 2.5};
  ceiling.peak = 300;
  ceiling.exponent = 2;
  ceiling.size = 0.08;
  Lamp close;  // 0.15 m off the wall and 0.3 m from the section: cell by cell
  close.at = {0.15, 4.1, 1.6};
  close.peak = 20;
  close.exponent = 1;
  for (const auto& lamps : {std::vector<Lamp>{ceiling}, std::vector<Lamp>{ceiling, close}})
    for (const dvec3 eye : {dvec3(2, 4, 1.5), dvec3(1.2, 1.5, 1.6)}) {
      stage.lighting.lamps = lamps;
      const Scene scene = stage.scene();
      kernel::SceneKernels k = kernels_of(scene);
      const auto p = contrast_across(scene, stage.lighting, stage.room, 0, stage.reliefs[0], 0, {1.1}, eye).at(0);
      double error = 0;
      for (std::size_t i = 0; i < p.offset.size(); i += 17) {
        const dvec2 at{4 + p.offset[i], 1.3};
        const LightSample e = smooth_light(stage.lighting, 0, at);
        const auto s = k.shade_facet(k.place_of(0, at, eye), dvec4(e.e.x, e.e.y, e.e.n, e.div_t), k.scene_relief(0, at, 1e-3));
        error = std::max(error, std::abs(p.contrast[i] - (s.luminance / s.flat_luminance - 1)));
      }
      CHECK(worst(p) > 2e-3);
      CHECK(found.off(error) < 2e-4);
    }
}

TEST_CASE("no NaN and no negative luminance over random scenes") {
  Random random(5);
  for (int i = 0; i < 12; ++i) {
    const bool corner = i % 3 == 0;
    std::vector<dvec2> plan = corner ? std::vector<dvec2>{{0, 0}, {0, 6}, {4, 6}, {4, 4}, {2, 4}, {2, 0}}
                                     : std::vector<dvec2>{{0, 0}, {0, 6}, {4, 6}, {4, 0}};
    Stage stage({window_beside_a_corner(random.uniform(0.05, 2.2))}, plan, {},
                clear_sky({random.uniform(-1, 1), 1, random.uniform(0.02, 0.8)}, random.uniform(0, 80000)));
    const auto ids = paint_ids();
    stage.paint(Stage::named(ids[random.next() % ids.size()], random.uniform(0.05, 0.9)));
    const double y = random.uniform(0.5, 5.5);
    stage.reliefs[0].joints = {raised_cosine(0, {y, 0.1}, {y, 2.5}, random.uniform(-2e-3, 3e-3), random.uniform(0.02, 0.3)),
                               raised_cosine(0, {0.1, 1.2}, {5.9, 1.2}, random.uniform(-1e-3, 2e-3), 0.15)};
    Lamp lamp;
    lamp.at = {random.uniform(0.05, 1.9), random.uniform(0.1, 5.9), random.uniform(0.1, 2.6)};
    lamp.aim = glm::normalize(dvec3(random.uniform(-1, 1), random.uniform(-1, 1), -1));
    lamp.exponent = random.uniform(0, 30);
    lamp.peak = 1000;
    lamp.size = random.uniform(0, 0.3);
    stage.lighting.lamps = {lamp};
    const Scene scene = stage.scene();
    const dvec3 eye{random.uniform(0.01, 1.99), random.uniform(0.01, 5.99), random.uniform(0.01, 2.59)};
    for (const auto& p : contrast_across(scene, stage.lighting, stage.room, 0, stage.reliefs[0], 0, {0.02, 1.0, 1.1, 2.39}, eye)) {
      for (const double c : p.contrast) {
        REQUIRE(std::isfinite(c));
        REQUIRE(c >= -1);
      }
      for (const auto& list : p.change)
        for (const double c : list) REQUIRE(std::isfinite(c));
    }
    for (int r = 0; r < 300; ++r) {
      const dvec3 w = glm::normalize(dvec3(random.normal(), random.normal(), random.normal()));
      const Shaded s = luminance_along(scene, eye, w, 1e-3);
      REQUIRE(std::isfinite(s.luminance));
      REQUIRE(std::isfinite(s.flat));
      REQUIRE(s.luminance >= 0);
      REQUIRE(trace(scene, eye, w).surface >= 0);
    }
  }
}
