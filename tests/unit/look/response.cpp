#include "look/response.h"

#include <catch2/catch.hpp>
#include <algorithm>
#include <cmath>

#include "stage.h"

using namespace rakelight;
using namespace rakelight::testing;

// A matt face without coat: L = rho/pi E, and a slope h' across takes off E_t h' (Gershun 1936); a beam at elevation g gives
// contrast -h' cot g (docs/reference/optics.md section 4).
TEST_CASE("what an eye gets of a matt face, and how it answers to slope") {
  const Stage stage;
  const Scene scene = stage.scene();
  const dvec2 across(0.6, 0.8);
  const EyeView view(scene, 0, {3, 1.3}, across, {2, 2.5, 1.6});
  const SlopeLight smooth = view.base({300, -200, 500});
  CHECK(smooth.flat == Approx(0.8 / pi * 500).epsilon(1e-9));
  // by differences over a slope of 0.001: the facet's foreshortening is a millionth
  CHECK(smooth.change == Approx(-0.8 / pi * (300 * 0.6 - 200 * 0.8)).epsilon(1e-5));
  for (const double elevation_deg : {5.0, 15.0, 40.0}) {
    const double g = elevation_deg * rad_per_deg;
    // in the wall's frame (x along plan y, y up, n along plan x)
    const dvec3 towards(std::sin(g), std::cos(g) * 0.6, std::cos(g) * 0.8);
    const SlopeLight sun = view.sun(towards, 20000);
    CHECK(sun.flat == Approx(0.8 / pi * 20000 * std::sin(g)).epsilon(1e-9));
    CHECK(sun.change / sun.flat == Approx(-1 / std::tan(g)).epsilon(1e-5));
  }
  CHECK(view.sun({-0.1, 0.7, 0.7}, 20000).flat == 0);
}

TEST_CASE("to first order it is contrast_across") {
  SkyState sky;
  sky.dark = false;
  sky.zenith_luminance = 3000;
  sky.skyline_luminance = sky.ground_luminance = 800;
  WindowSpec window;
  window.name = std::string("W");
  window.wall = std::string("B");
  window.from_left = 0.3;
  window.sill = 0.8;
  window.width = 1.4;
  window.height = 1.4;
  window.reveal = 0.15;
  window.reveal_reflectance = 0.7;
  window.frame = 0.07;
  window.glazing = Glass::double_pane;
  Stage stage({window}, {{0, 0}, {0, 6}, {4, 6}, {4, 0}}, {}, sky);
  stage.paint(Stage::named("matt", 0.8));
  stage.reliefs[0].joints = {raised_cosine(0, {3, 0.2}, {3, 2.4}, 0.5e-3, 0.2)};
  const Scene scene = stage.scene();
  const PlacedJoint& joint = stage.reliefs[0].joints[0];
  for (const dvec3 eye : {dvec3(2, 3, 1.6), dvec3(0.5, 0.4, 1.6)}) {
    const auto exact = stage.profiles(0, {1.1}, eye);
    REQUIRE(exact.size() == 1);
    const dvec2 p = joint.line.from + 1.1 * joint.line.along();
    const EyeView view(scene, 0, p, joint.line.across(), eye);
    SlopeLight light = view.base(smooth_light(stage.lighting, 0, p).e);
    light += view.sheen(scene);
    CHECK(light.flat == Approx(exact[0].flat_luminance).epsilon(0.01));  // there the mean over 400 mm
    const ContrastProfile slopes = slope_profile(scene, 0, joint, 1.1);
    double peak = 0;
    for (const double s : slopes.contrast) peak = std::max(peak, std::abs(s));
    // the light differs between the joint's two sides, 400 mm apart; their mean is the middle's to some percent
    const Extremes e = extremes(exact[0]);
    CHECK(peak * std::abs(light.change) / light.flat == Approx(0.5 * (e.most - e.least)).epsilon(0.05));
  }
}
