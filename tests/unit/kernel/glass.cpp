#include "kernel/glass.h"

#include <catch2/catch.hpp>
#include <cmath>

#include "base/units.h"
#include "support/csv.h"
#include "support/validated.h"

using namespace rakelight;

namespace {

}

// Duffie & Beckman ch. 5, index 1.526: tests/reference/glazing_transmittance.csv, computed from the same equations
// by other code. 1e-5 asked for; the table prints six decimals, so half of the last one is what is met.
TEST_CASE("glass passes and reflects what Fresnel's equations and absorption leave") {
  test::Validated found("glass, passed and thrown back",
                        "Fresnel with absorption and inter-reflection (Duffie & Beckman ch. 5), 14 angles × 8 columns",
                        "half of the last digit printed, 5e-7");
  int used = 0;
  for (const auto& row : reference::table("glazing_transmittance.csv")) {
    double c = std::cos(row.number("theta_deg") * rad_per_deg);
    CAPTURE(row.text("theta_deg"));
    const double half_digit = 0.51e-6;
    CHECK(found.off(std::abs(kernel::glass_transmittance(c, 1.0, 0.0, 1.0) - row.number("T1_KL0"))) < half_digit);
    CHECK(found.off(std::abs(kernel::glass_transmittance(c, 1.0, 0.012, 1.0) - row.number("T1_KL0.012"))) < half_digit);
    CHECK(found.off(std::abs(kernel::glass_transmittance(c, 1.0, 0.040, 1.0) - row.number("T1_KL0.040"))) < half_digit);
    CHECK(found.off(std::abs(kernel::glass_transmittance(c, 2.0, 0.0, 1.0) - row.number("T2_KL0"))) < half_digit);
    CHECK(found.off(std::abs(kernel::glass_transmittance(c, 2.0, 0.012, 1.0) - row.number("T2_KL0.012"))) < half_digit);
    CHECK(found.off(std::abs(kernel::glass_transmittance(c, 2.0, 0.040, 1.0) - row.number("T2_KL0.040"))) < half_digit);
    CHECK(found.off(std::abs(kernel::glass_reflectance(c, 1.0, 0.012) - row.number("R1_KL0.012"))) < half_digit);
    CHECK(found.off(std::abs(kernel::glass_reflectance(c, 2.0, 0.012) - row.number("R2_KL0.012"))) < half_digit);
    ++used;
  }
  CHECK(used == 14);
}

TEST_CASE("glass without absorption loses nothing") {
  test::Validated found("glass that absorbs nothing", "passed and thrown back are all", "1e-12");
  for (double panes : {1.0, 2.0})
    for (double c = 0.001; c <= 1.0; c += 0.001)
      // exact in theory; 1e-12 is rounding near grazing, where 1 - r^2 is small
      REQUIRE(found.off(std::abs(kernel::glass_transmittance(c, panes, 0.0, 1.0) + kernel::glass_reflectance(c, panes, 0.0) - 1)) < 1e-12);
}

TEST_CASE("glass at grazing passes nothing and its scale is a plain factor") {
  CHECK(kernel::glass_transmittance(0.0, 2.0, 0.012, 1.0) == 0.0);
  CHECK(kernel::glass_transmittance(-0.5, 2.0, 0.012, 1.0) == 0.0);
  CHECK(kernel::glass_reflectance(0.0, 1.0, 0.012) == 1.0);
  CHECK(kernel::glass_transmittance(0.7, 2.0, 0.012, 0.5) == 0.5 * kernel::glass_transmittance(0.7, 2.0, 0.012, 1.0));
  // a cosine a rounding over 1 must not become a NaN
  CHECK(kernel::glass_transmittance(1.0 + 1e-12, 1.0, 0.0, 1.0) == Approx(0.916881).margin(1e-6));
}
