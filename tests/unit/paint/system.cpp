// A paint as a system: what a sealer, coats and a lining leave of the band that paper and compound make.
#include <catch2/catch.hpp>

#include "paint/paint.h"

using namespace rakelight;

namespace {

PaintSpec spec_of(const char* name, SealerSpec sealer) {
  PaintSpec s;
  s.name = Key<std::string>(name);
  s.sealer = sealer;
  return s;
}

/// What the glossmeter reads, with the diffuse share of ISO 2813's receptor (gloss_roughness table).
double reading(const Paint& p, int meter_deg) {
  return simulated_gloss(meter_deg == 60 ? p.alpha60 : p.alpha85, meter_deg) + (meter_deg == 60 ? 2.4841 : 0.0327) * p.reflectance;
}

}  // namespace

TEST_CASE("a sealer cuts banding to a third, a lining and an even face end it") {
  // a third: trade figure from memory (assets/paints/systems.toml), which has it as 0.3333: 1e-4 off, 2e-4 when squared
  CHECK(banding_share(spec_of("matt", SealerSpec::none)) == Approx(1));
  CHECK(banding_share(spec_of("matt", SealerSpec::one_coat)) == Approx(1.0 / 3).epsilon(3e-4));
  CHECK(banding_share(spec_of("matt", SealerSpec::two_coats)) == Approx(1.0 / 9).epsilon(3e-4));
  CHECK(banding_share(spec_of("matt", SealerSpec::even)) == 0);
  PaintSpec lined = spec_of("matt", SealerSpec::none);
  lined.lining = LiningSpec::fleece;
  CHECK(banding_share(lined) == 0);
  PaintSpec thick = spec_of("matt", SealerSpec::none);
  thick.coats = 3.0;
  CHECK(banding_share(thick) == Approx(1.0 / 3).epsilon(3e-4));
  // nothing said of the sealer: nobody can tell paper from compound
  PaintSpec unsaid;
  unsaid.name = Key<std::string>("eggshell");
  CHECK_FALSE(make_paint(unsaid, 0.8).over_compound);
}

TEST_CASE("unsealed low sheen: 2 gloss units at 60 degrees, 5 at 85 and 1 % of reflectance") {
  // middles of 1-3 and 2-8, geometric middle of 0.5-2 % (docs/reference/trade.md section 6, M-)
  const Paint p = make_paint(spec_of("low-sheen", SealerSpec::none), 0.8);
  REQUIRE(p.over_compound);
  // low sheen reads 7 and 20; the roughness is solved to 1e-6 of its logarithm, 0.29 of 7 is 2.03
  CHECK(reading(p, 60) - reading(*p.over_compound, 60) == Approx(2.03).margin(0.01));
  CHECK(reading(p, 85) - reading(*p.over_compound, 85) == Approx(5.0).margin(0.01));
  // two coats of paint let 0.09 % of the paper's grey through: 0.0002 of reflectance
  CHECK(p.over_compound->reflectance / p.reflectance - 1 == Approx(0.01).margin(3e-4));
  // a sealed one differs by a third of that, and gloss paint by no more than 3 and 8 units
  const Paint sealed = make_paint(spec_of("low-sheen", SealerSpec::one_coat), 0.8);
  CHECK(reading(sealed, 85) - reading(*sealed.over_compound, 85) == Approx(5.0 / 3).margin(0.01));
  const Paint gloss = make_paint(spec_of("gloss", SealerSpec::none), 0.8);
  CHECK(reading(gloss, 60) - reading(*gloss.over_compound, 60) == Approx(3).margin(0.02));
  CHECK(reading(gloss, 85) - reading(*gloss.over_compound, 85) == Approx(8).margin(0.05));
  // one coat of paint lets 3 % of the difference of 0.18 through, 0.0054
  PaintSpec thin = spec_of("low-sheen", SealerSpec::none);
  thin.coats = 1.0;
  CHECK(make_paint(thin, 0.8).over_compound->reflectance == Approx(0.8 * 1.01 + 0.0054).epsilon(1e-6));
}

TEST_CASE("white matt loses its share of gloss too, though most of its reading is whiteness") {
  // of 3 units at 60 degrees 2.4841 · 0.8 = 1.987 are diffuse (the meter's share of a white face, look/gloss test); 29 % of 3
  // is less than what is left of its gloss
  const Paint p = make_paint(spec_of("matt", SealerSpec::none), 0.8);
  REQUIRE(p.over_compound);
  CHECK(p.over_compound->alpha60 > p.alpha60);
  CHECK(p.over_compound->alpha60 < 1);
  CHECK(reading(p, 60) == Approx(3).margin(0.01));
  CHECK(reading(p, 60) - reading(*p.over_compound, 60) == Approx(0.87).margin(0.01));
}

TEST_CASE("before paint: grey paper beside white compound") {
  const PaintSpec s = spec_of("gloss", SealerSpec::one_coat);
  const Paint bare = make_paint(s, 0.5, PaintStage::bare), sealed = make_paint(s, 0.5, PaintStage::sealed);
  CHECK(bare.reflectance == Approx(0.62));
  CHECK(bare.over_compound->reflectance == Approx(0.80));
  // 0.80 - 0.15 (0.80 - 0.62)
  CHECK(sealed.reflectance == Approx(0.773));
  CHECK(sealed.over_compound->reflectance == Approx(0.80));
  CHECK(stage_reflectance(s, 0.5, PaintStage::sealed) == Approx(0.773));
  CHECK(stage_reflectance(s, 0.5, PaintStage::painted) == 0.5);
  CHECK_FALSE(bare.by_suction);
  CHECK(make_paint(spec_of("gloss", SealerSpec::none), 0.5, PaintStage::sealed).reflectance == Approx(0.62));
}

TEST_CASE("stipple by tool, nap and texture") {
  PaintSpec s = spec_of("matt", SealerSpec::even);
  CHECK(make_paint(s, 0.8).stipple.empty());
  s.applied = Key<AppliedSpec>(AppliedSpec::rolled);
  s.applied.given = true;
  // short nap 20-60 um over 2-4 mm: 40 um peak to valley is four standard deviations
  CHECK(make_paint(s, 0.8).stipple.at(0).rms == Approx(10e-6));
  CHECK(make_paint(s, 0.8).stipple.at(0).pitch == Approx(3e-3));
  s.nap = 0.018;
  CHECK(make_paint(s, 0.8).stipple.at(0).rms == Approx(43.75e-6));
  s.applied.value = AppliedSpec::sprayed;
  s.texture = TextureSpec::light;
  CHECK(make_paint(s, 0.8).stipple.size() == 2);
  CHECK(make_paint(s, 0.8).stipple.at(0).rms == Approx(3e-6));
}

TEST_CASE("a paint nobody knows is bad input") {
  Job job;
  job.surfaces.emplace_back().paint.name = Key<std::string>("eggshel");
  Diagnostics diagnostics;
  check_paints(job, diagnostics);
  REQUIRE(diagnostics.all().size() == 1);
  CHECK(diagnostics.all()[0].wrong == "there is no paint class \"eggshel\"");
  CHECK(diagnostics.all()[0].right.find("\"eggshell\"") == 0);
}
