// The simulated glossmeter and the paints made with it. Tables: tests/reference, computed apart from this code by
// Gauss quadrature and checked there by Monte Carlo.
#include <catch2/catch.hpp>
#include <cmath>

#include "base/quadrature.h"
#include "base/units.h"
#include "paint/paint.h"
#include "support/csv.h"
#include "support/validated.h"

using namespace rakelight;

TEST_CASE("gloss units of every roughness of the reference table") {
  test::Validated found("gloss of a roughness", "simulated glossmeter computed apart, 22 roughnesses × 3 angles", "0.15 %", " %", 100);
  int rows = 0;
  for (const auto& row : reference::table("gloss_roughness.csv")) {
    const double alpha = row.number("alpha");
    INFO("alpha " << alpha);
    // 0.15 %: at alpha 0.005 the two codes' quadratures over the receptor part by 0.1 %; 1e-4 is the table's rounding
    const auto near = [](double v) { return Approx(v).epsilon(0.0015).margin(1e-4); };
    for (const auto& [angle, column] : {std::pair{20, "GGX_GU20"}, {60, "GGX_GU60"}, {85, "GGX_GU85"}})
  if (row.number(column) > 1) found.off(simulated_gloss(alpha, angle) / row.number(column) - 1);
    CHECK(simulated_gloss(alpha, 20) == near(row.number("GGX_GU20")));
    CHECK(simulated_gloss(alpha, 60) == near(row.number("GGX_GU60")));
    CHECK(simulated_gloss(alpha, 85) == near(row.number("GGX_GU85")));
    ++rows;
  }
  CHECK(rows == 22);
}

TEST_CASE("roughness of every finish of the inverse table") {
  test::Validated found("roughness of a gloss", "19 rows computed apart", "0.3 %", " %", 100);
  int rows = 0;
  for (const auto& row : reference::table("gloss_inverse.csv")) {
    INFO(row.text("finish") << " at " << row.text("angle"));
    const double alpha = roughness_from_gloss(row.number("GU"), static_cast<int>(row.number("angle")), 0.85);
    // the table gives four places; 0.3 % covers the 0.15 % of gloss above, as gloss falls about as alpha^-1 to alpha^-2
    CHECK(found.share(alpha, row.number("alpha_GGX")) == Approx(row.number("alpha_GGX")).epsilon(0.003).margin(6e-5));
    ++rows;
  }
  CHECK(rows == 19);
}

TEST_CASE("the diffuse share of a reading is the receptor's projected solid angle") {
  struct Meter { int angle; double in_plane, across, glass, share; };
  // black glass n = 1.567 and the shares: reference/optics figures 1.2025, 2.4841, 0.0327 per unit reflectance
  for (const Meter m : {Meter{20, 1.8, 3.6, 0.0490781, 1.2025}, Meter{60, 4.4, 11.7, 0.1000560, 2.4841}, Meter{85, 4.0, 6.0, 0.6191482, 0.0327}}) {
    double projected = 0;
    for (const Node& u : gauss_nodes(16))
      for (const Node& v : gauss_nodes(16)) {
        const double a = (m.angle + (u.x - 0.5) * m.in_plane) * rad_per_deg, b = (v.x - 0.5) * m.across * rad_per_deg;
        projected += u.weight * v.weight * std::cos(a) * std::cos(b) * std::cos(b);
      }
    projected *= m.in_plane * m.across * rad_per_deg * rad_per_deg;
    const double share = 100 * projected / pi / m.glass;
    // 0.3 %: 0.0327 has three digits
    CHECK(share == Approx(m.share).epsilon(0.003));
    // a reading of just that share leaves nothing for the coat
    CHECK(roughness_from_gloss(m.share * 0.8, m.angle, 0.8) == 1.0);
  }
}

TEST_CASE("paint classes run from dull to glossy and carry their source") {
  const auto ids = paint_ids();
  REQUIRE(ids == std::vector<std::string>{"dead-matt", "matt", "low-sheen", "eggshell", "satin", "semi-gloss", "gloss"});
  double last60 = 0, last85 = 0;
  for (const auto& id : ids) {
    const auto p = paint_class(id);
    REQUIRE(p);
    CHECK_FALSE(p->source.empty());
    CHECK(p->gloss60 > last60);
    CHECK(p->gloss85 > last85 * 0.999);
    last60 = p->gloss60;
    last85 = p->gloss85;
  }
  CHECK(paint_class("flat")->id == "matt");
  CHECK_FALSE(paint_class("velours"));
  // MPI G1: at most 5 at 60 degrees and 10 at 85; EN 13300: dead matt under 5 at 85
  CHECK(paint_class("matt")->gloss60 <= 5);
  CHECK(paint_class("matt")->gloss85 <= 10);
  CHECK(paint_class("dead-matt")->gloss85 < 5);
}

TEST_CASE("a matt wall paint") {
  PaintSpec spec;
  spec.name = Key<std::string>("matt");
  const Paint p = make_paint(spec, 0.85);
  // gloss_inverse: matt typical 3 at 60 degrees 0.4389, 5 at 85 degrees 0.1579
  CHECK(p.alpha60 == Approx(0.4389).epsilon(0.003));
  CHECK(p.alpha85 == Approx(0.1579).epsilon(0.003));
  CHECK(p.name == "matt");
  PaintSpec own;
  own.name = Key<std::string>("");
  own.gloss60 = Key<double>(15);
  own.gloss85 = Key<double>(25);
  CHECK(make_paint(own, 0.85).alpha60 == Approx(0.1038).epsilon(0.003));
}
