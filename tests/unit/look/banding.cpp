// Banding: a face painted alike that is not seen alike where compound lies.
#include <catch2/catch.hpp>

#include "stage.h"
#include "support/validated.h"

using namespace rakelight;
using namespace rakelight::testing;

namespace {

/// A coat that reflects nothing over a base of 0.8, over compound of 0.84.
Paint banded(bool by_suction) {
  Paint p = Stage::lambert(0.8);
  p.over_compound = std::make_shared<const Paint>(Stage::lambert(0.84));
  p.by_suction = by_suction;
  return p;
}

/// A joint as flat as the face, 300 mm of compound.
PlacedJoint filled() {
  return shaped_joint(0, {0.5, 1.2}, {5.5, 1.2}, 0.15, 1e-3, [](double) { return HeightAndSlope{0, 0}; });
}

}  // namespace

TEST_CASE("the contrast of a band without relief is that of the reflectances, in any light") {
  test::Validated found("banding: contrast of a flat joint", "ratio of the reflectances, in even and in raking light", "1e-9");
  Stage stage;
  stage.paint(banded(true));
  stage.reliefs[0].joints.push_back(filled());
  const dvec3 eye{2, 3, 1.5};
  for (const bool raked : {false, true}) {
    stage.even_light(100);
    if (raked) stage.lighting.lamps.push_back(far_lamp({0.2, 0.3, 0.9}));
    const auto profiles = stage.profiles(0, {2.5}, eye);
    REQUIRE(profiles.size() == 1);
    const ContrastProfile& p = profiles[0];
    REQUIRE(p.band.size() == p.offset.size());
    // nothing of it is mirrored: what shade and band can make holds all of it
    CHECK(p.shade == Approx(std::abs(p.peak)).epsilon(1e-9));
    for (std::size_t i = 0; i < p.offset.size(); ++i) {
      INFO("at " << p.offset[i] << (raked ? ", raked" : ""));
      CHECK(p.contrast[i] == Approx(p.band[i]).margin(1e-12));
      // 0.84/0.8 in the middle, nothing outside, half of it where the film counts half: 20 mm inside its feather
      const double u = std::abs(p.offset[i]);
      if (u < 0.11) CHECK(found.share(p.band[i], 0.05) == Approx(0.05).epsilon(1e-9));
      if (u > 0.15) CHECK(p.band[i] == 0);
    }
    const Scene scene = stage.scene();
    const auto at = [&](double v) {
      const Shaded s = shade_from_scene(scene, 0, {2.5, 1.2 + v}, eye, 0);
      return s.luminance / s.flat - 1;
    };
    CHECK(at(0) == Approx(0.05).epsilon(1e-9));
    CHECK(at(0.13) == Approx(0.025).epsilon(1e-9));
    CHECK(at(0.2) == Approx(0).margin(1e-12));
  }
}

TEST_CASE("without sheen a band and relief multiply") {
  Stage stage;
  stage.lighting.lamps.push_back(far_lamp({0.1, 0.0, 0.5}));
  stage.paint(Stage::lambert(0.8));
  stage.reliefs[0].joints.push_back(raised_cosine(0, {0.5, 1.2}, {5.5, 1.2}, 1e-3, 0.15));
  const dvec3 eye{2, 3, 1.5};
  const auto plain = stage.profiles(0, {2.5}, eye)[0];
  stage.paint(banded(true));
  const auto both = stage.profiles(0, {2.5}, eye)[0];
  CHECK(plain.band.empty());
  // a matt face under one lamp, nothing hidden: all contrast is shade, but for the facets' own tilt (second order)
  CHECK(plain.shade == Approx(std::abs(plain.peak)).epsilon(0.01));
  CHECK(std::abs(both.peak) <= both.shade * 1.06);  // and the band, times one another
  for (std::size_t i = 0; i < plain.offset.size(); ++i)
    // (1 + C)(1 + b), as base and relief multiply
    CHECK(both.contrast[i] == Approx((1 + plain.contrast[i]) * (1 + both.band[i]) - 1).margin(1e-9));
}

TEST_CASE("with sheen relief over compound answers by the coat that lies there") {
  Stage stage;
  stage.lighting.lamps.push_back(far_lamp({0.5, -0.6, -1.2}));
  stage.reliefs[0].joints.push_back(raised_cosine(0, {0.5, 1.2}, {5.5, 1.2}, 1e-3, 0.15));
  // in the lamp's mirror direction as seen from the middle of the joint, (0, 3.0, 1.2), where gloss counts most
  const dvec3 eye{0.5, 3.6, 2.4};
  Paint glossy = Stage::named("eggshell", 0.8);
  const Paint dull = Stage::named("matt", 0.8);
  stage.paint(glossy);
  const auto paper = stage.profiles(0, {2.5}, eye)[0];
  stage.paint(dull);
  const auto compound = stage.profiles(0, {2.5}, eye)[0];
  glossy.over_compound = std::make_shared<const Paint>(dull);
  glossy.by_suction = true;
  stage.paint(glossy);
  const auto both = stage.profiles(0, {2.5}, eye)[0];
  REQUIRE(both.offset == compound.offset);
  double apart = 0;
  for (std::size_t i = 0; i < both.offset.size(); ++i) {
    INFO("at " << both.offset[i]);
    const double u = std::abs(both.offset[i]);
    apart = std::max(apart, std::abs(paper.contrast[i] - compound.contrast[i]));
    if (u < 0.11) {
      CHECK(both.band[i] < -0.05);  // duller: darker in the mirror direction
      // over compound alone: what the dull coat makes of the relief, times the band
      CHECK(both.contrast[i] == Approx((1 + compound.contrast[i]) * (1 + both.band[i]) - 1).margin(1e-9));
    }
    if (u > 0.15) CHECK(both.contrast[i] == Approx(0).margin(1e-9));
  }
  // and the coats do not answer alike
  CHECK(apart > 0.02);
}

TEST_CASE("a film over the face ends banding by suction; a scrape leaves the colours apart") {
  Stage stage;
  stage.even_light(100);
  stage.reliefs[0].joints.push_back(filled());
  Level& level = stage.reliefs[0].joints[0].recipe.level;
  const auto middle = [&] {
    const Shaded s = shade_from_scene(stage.scene(), 0, {2.5, 1.2}, {2, 3, 1.5}, 0);
    return s.luminance / s.flat - 1;
  };
  level.skim = 0.2e-3;
  level.film = "drawn";
  stage.paint(banded(true));
  CHECK(middle() == 0);
  CHECK(stage.scene().over_compound.empty());
  // before paint a film is compound all over
  stage.paint(banded(false));
  CHECK(middle() == 0);
  const double filmed = shade_from_scene(stage.scene(), 0, {2.5, 2.2}, {2, 3, 1.5}, 0).luminance;
  level.film = "scraped";
  CHECK(middle() == Approx(0.05).epsilon(1e-9));
  CHECK(filmed / shade_from_scene(stage.scene(), 0, {2.5, 2.2}, {2, 3, 1.5}, 0).luminance == Approx(1.05).epsilon(1e-9));
  stage.paint(banded(true));
  CHECK(middle() == 0);
}
