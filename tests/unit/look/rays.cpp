// What rays meet, and what the picture's double twin says of it.
#include <catch2/catch.hpp>
#include <cmath>

#include "unit/look/stage.h"

using namespace rakelight;
using namespace rakelight::testing;

namespace {

WindowSpec window() {
  WindowSpec w;
  w.name = std::string("W1");
  w.wall = std::string("B");
  w.from_left = 1;
  w.sill = 0.8;
  w.width = 2;
  w.height = 1.2;
  w.reveal = 0.2;
  w.reveal_reflectance = 0.7;
  w.frame = 0.1;
  w.glazing = Glass::single_pane;
  return w;
}

SkyState even_sky(double luminance) {
  SkyState sky;
  sky.dark = false;
  sky.zenith_luminance = luminance;
  sky.skyline_luminance = luminance;
  sky.ground_luminance = luminance;
  return sky;
}

}  // namespace

TEST_CASE("rays meet faces, reveals, frames and glass where geometry says") {
  Stage stage({window()}, {{0, 0}, {0, 6}, {4, 6}, {4, 0}}, {}, even_sky(1000));
  const Scene scene = stage.scene();
  kernel::SceneKernels k = kernels_of(scene);
  const dvec3 eye{2, 3, 1.4};
  // wall B runs from (0, 6) to (4, 6): its x is plan x
  Hit h = trace(scene, eye, {0, 1, 0});
  CHECK(h.outside);
  CHECK(h.window == 0);
  CHECK(h.distance == Approx(3.2));
  CHECK(h.p.x == Approx(2));
  CHECK(h.p.y == Approx(1.4));
  // 0.05 into the frame's 0.1 at the left, in the glass plane
  h = trace(scene, eye, dvec3(1.05, 6.2, 1.4) - eye);
  CHECK_FALSE(h.outside);
  CHECK(k.scene_trace(eye, glm::normalize(dvec3(1.05, 6.2, 1.4) - eye)).kind == 3);
  // through the opening from far left onto the right jamb, 0.1 deep
  const dvec3 from{0.5, 5.5, 1.4};
  const auto jamb = k.scene_trace(from, glm::normalize(dvec3(3, 6.1, 1.4) - from));
  CHECK(jamb.kind == 2);
  CHECK(jamb.part == 1);
  CHECK(jamb.range == Approx(glm::length(dvec3(3, 6.1, 1.4) - from)));
  // sill from above
  const dvec3 above{2, 5.5, 1.3};
  const auto sill = k.scene_trace(above, glm::normalize(dvec3(2, 6.1, 0.8) - above));
  CHECK(sill.kind == 2);
  CHECK(sill.part == 2);
  h = trace(scene, eye, {-1, 0, 0});
  CHECK(h.surface == 0);
  CHECK(h.p.x == Approx(3));
  CHECK(h.distance == Approx(2));
  h = trace(scene, eye, {0, 0, 1});
  CHECK(h.surface == stage.room.ceiling());
  CHECK(h.distance == Approx(1.2));
  h = trace(scene, eye, {0, 0, -1});
  CHECK(h.surface == stage.room.floor());
}

TEST_CASE("outside is seen through the glass with its transmittance") {
  Stage stage({window()}, {{0, 0}, {0, 6}, {4, 6}, {4, 0}}, {}, even_sky(1000));
  const Scene scene = stage.scene();
  const double seen = luminance_along(scene, {2, 3, 1.4}, {0, 1, 0.05}, 0).luminance;
  // one pane of 4 mm: 0.9059 at normal incidence (glazing table); the room's own light mirrored in it is under 1 %
  CHECK(seen == Approx(905.9).epsilon(0.01));
}

TEST_CASE("in an L-shaped room rays stop at the near wall and sight follows") {
  Stage stage({}, {{0, 0}, {0, 6}, {4, 6}, {4, 4}, {2, 4}, {2, 0}});
  const Scene scene = stage.scene();
  kernel::SceneKernels k = kernels_of(scene);
  const Hit h = trace(scene, {1, 1, 1}, {1, 0, 0});
  CHECK(h.surface == 4);
  CHECK(h.distance == Approx(1));
  CHECK(k.clear_between({1, 5, 1}, {3.5, 5, 1}));
  CHECK_FALSE(k.clear_between({1, 1, 1}, {3.9, 5, 1}));
  CHECK(k.clear_between({1, 1, 1}, {1, 5, 1}));
  CHECK(k.clear_between({0, 1, 1}, {0, 5, 2}));  // along the wall
}

TEST_CASE("the picture's pixel and the profile agree at a joint") {
  WindowSpec w = window();
  w.from_left = 0.3;
  Stage stage({w}, {{0, 0}, {0, 6}, {4, 6}, {4, 0}}, {0}, even_sky(3000));
  stage.paint(Stage::named("matt", 0.82));
  stage.reliefs[0].joints = {raised_cosine(0, {4.2, 0.2}, {4.2, 2.4}, 1.2e-3, 0.25)};
  const Scene scene = stage.scene();
  const dvec3 eye{2, 2.5, 1.6};
  const auto p = contrast_across(scene, stage.lighting, stage.room, 0, stage.reliefs[0], 0, {1.1}, eye).at(0);
  const Shaded s = shade_from_scene(scene, 0, {4.2 + p.peak_offset, 1.3}, eye, 1e-3);
  CHECK(std::abs(p.peak) > 3e-3);
  // the project's own bound between picture and findings: 0.05 points
  CHECK(s.luminance / s.flat - 1 == Approx(p.peak).margin(5e-4));
}
