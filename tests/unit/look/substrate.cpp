// The face that framing gives the sheets, through the scene's table and in the light.
#include <catch2/catch.hpp>
#include <cmath>

#include "base/random.h"
#include "unit/look/stage.h"

using namespace rakelight;
using namespace rakelight::testing;

TEST_CASE("the scene's relief is the joints over the substrate") {
  Stage stage;
  Relief& relief = stage.reliefs[0];
  relief.joints = {raised_cosine(0, {3, 0.2}, {3, 2.4}, 1e-3, 0.275)};
  for (const bool upright : {true, false}) {
    relief.substrate = proud_member(3e-3, 0.6, upright ? 11 : 5);
    relief.substrate->upright = upright;
    relief.substrate->span = upright ? 2.6 : 6;
    relief.substrate->sag = 1e-3;
    relief.substrate->members[1].bow = -2e-3;
    bend(*relief.substrate);
    const Scene scene = stage.scene();
    kernel::SceneKernels k = kernels_of(scene);
    Random random(8);
    for (int i = 0; i < 300; ++i) {
      const dvec2 p{random.uniform(0, 6), random.uniform(0, 2.6)};
      const auto facet = k.scene_relief(0, p, 0);
      const ReliefPoint here = relief_at(relief, p);
      CHECK(facet.near);
      CHECK(facet.h == Approx(here.h).margin(1e-15));
      CHECK(glm::length(facet.slope - here.slope) < 1e-12);
    }
    CHECK(k.scene_relief(1, {1, 1}, 0).h == 0);  // another face has none
  }
}

TEST_CASE("a proud stud in raking light shades by its slope") {
  Stage stage;
  stage.reliefs[0].substrate = proud_member(3.2e-3, 0.6, 11);
  const double elevation = 10 * rad_per_deg;
  const dvec3 beam{std::sin(elevation), std::cos(elevation), 0};  // wall A: its x along plan +y
  stage.lighting.lamps = {far_lamp(beam)};
  const Scene scene = stage.scene();
  for (const double x : {2.7, 3.3}) {
    const double slope = relief_at(stage.reliefs[0], {x, 1.3}).slope.x;
    const Shaded s = shade_from_scene(scene, 0, {x, 1.3}, {2, 3, 1.3}, 0);
    // collimated light at elevation γ on a facet of slope h′: (1 − h′ cot γ)/√(1 + h′²)
    CHECK(s.luminance / s.flat == Approx((1 - slope / std::tan(elevation)) / std::sqrt(1 + slope * slope)).epsilon(1e-3));
    CHECK(std::abs(slope) > 5e-3);
  }
}
