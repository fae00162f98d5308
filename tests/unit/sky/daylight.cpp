#include <catch2/catch.hpp>
#include <cmath>

#include "base/units.h"
#include "sky/sky.h"
#include "support/csv.h"
#include "support/validated.h"

using namespace rakelight;

// Janiczek & DeYoung 1987, USNO Circular 171: values from the published coefficients, six digits printed.
TEST_CASE("total horizontal illuminance repeats the published fit") {
  test::Validated found("total horizontal illuminance", "Janiczek & DeYoung 1987, 28 rows", "six digits printed, 5e-6");
  int used = 0;
  for (const auto& row : reference::table("dusk_illuminance_janiczek_deyoung.csv")) {
    double altitude_deg = row.number("sun_altitude_deg");
    CAPTURE(altitude_deg);
    // printed to six digits: 5e-6 of the value
    CHECK(found.share(total_horizontal_illuminance(altitude_deg * rad_per_deg), row.number("E_horizontal_lux_clear_sky")) == Approx(row.number("E_horizontal_lux_clear_sky")).epsilon(5e-6));
    ++used;
  }
  CHECK(used == 28);
}

TEST_CASE("total horizontal illuminance follows the published coefficients between their limits") {
  int used = 0;
  for (const auto& row : reference::table("dusk_coefficients.csv")) {
    for (double t : {0.1, 0.5, 0.9}) {
      double h = row.number("h_min") + t * (row.number("h_max") - row.number("h_min")), x = h / 90;
      double log_e = row.number("l0") + row.number("l1") * x + row.number("l2") * x * x + row.number("l3") * x * x * x;
      CHECK(total_horizontal_illuminance(h * rad_per_deg) == Approx(std::pow(10, log_e)).epsilon(1e-12));  // rounding
    }
    ++used;
  }
  CHECK(used == 6);
}

TEST_CASE("total horizontal illuminance has no step over 1.5 % and lies in the glossary's ranges") {
  test::Validated found("twilight: steps between the published cubics", "ranges of the AMS glossary at sunset and the ends of twilight",
                        "1.5 %; within the ranges", " %", 100);
  for (double joint : {-12.0, -5.0, -0.8, 5.0, 20.0}) {
    double below = total_horizontal_illuminance((joint - 1e-7) * rad_per_deg);
    double above = total_horizontal_illuminance(joint * rad_per_deg);
    CAPTURE(joint, below, above);
    CHECK(found.off(std::abs(above / below - 1)) < 0.015);  // the published cubics do not meet exactly
  }
  // AMS Glossary of Meteorology, "twilight": sunset 410-585 lx, end of civil twilight 2-3.5 lx, nautical about
  // 0.008, astronomical about 6e-4 ("about" read as its digits)
  auto at = [](double deg) { return total_horizontal_illuminance(deg * rad_per_deg); };
  CHECK(at(-0.833) > 410);
  CHECK(at(-0.833) < 585);
  CHECK(at(-6) > 2);
  CHECK(at(-6) < 3.5);
  CHECK(at(-12) == Approx(0.008).margin(0.0005));
  CHECK(at(-18) == Approx(6e-4).margin(0.5e-4));
  CHECK(at(-18.1) == 0);
  CHECK(at(-90) == 0);
}

// tests/reference/direct_normal_illuminance.csv, columns of the form used here.
TEST_CASE("air mass and direct normal illuminance repeat the table") {
  test::Validated found("direct normal illuminance", "Kasten & Young 1989 air mass, published forms at three turbidities, 12 rows",
                        "0.05 lx, the last digit printed", " lx");
  int used = 0;
  for (const auto& row : reference::table("direct_normal_illuminance.csv")) {
    double h = row.number("h_deg") * rad_per_deg;
    CAPTURE(row.text("h_deg"));
    CHECK(std::abs(air_mass(h) - row.number("m_KY")) < 5.1e-5);   // half of the last digit printed, all below
    CHECK(found.off(std::abs(direct_normal_illuminance(h, 2.5) - row.number("Nav_T2.5_lx"))) < 0.051);
    CHECK(found.off(std::abs(direct_normal_illuminance(h, 3.5) - row.number("Nav_T3.5_lx"))) < 0.051);
    CHECK(found.off(std::abs(direct_normal_illuminance(h, 5.0) - row.number("Nav_T5_lx"))) < 0.051);
    CHECK(std::abs(direct_normal_illuminance(h, 3.5) * std::sin(h) - row.number("Nav_T3.5_horizontal_lx")) < 0.51);
    ++used;
  }
  CHECK(used == 12);
}

// Kasten & Young 1989, table of their own formula: 36.467 at zenith angle 89.9 degrees, 5.586 at 80, 37.9196 at 90.
TEST_CASE("air mass at published zenith angles") {
  CHECK(air_mass(0.1 * rad_per_deg) == Approx(36.467).margin(0.0005));
  CHECK(air_mass(10 * rad_per_deg) == Approx(5.586).margin(0.0005));
  CHECK(air_mass(0) == Approx(37.9196).margin(0.00005));
}

TEST_CASE("covered skies: Krochmann's line, then twilight without a step") {
  CHECK(overcast_horizontal_illuminance(30 * rad_per_deg) == Approx(10800).epsilon(1e-12));  // 300 + 21000 / 2
  CHECK(overcast_horizontal_illuminance(0) == 300);
  CHECK(overcast_horizontal_illuminance(-1e-9) == Approx(300).epsilon(1e-6));  // the slope over 1e-9 rad
  CHECK(overcast_horizontal_illuminance(-19 * rad_per_deg) == 0);
}
