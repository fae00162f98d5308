#include <catch2/catch.hpp>
#include <algorithm>
#include <cmath>

#include "base/random.h"
#include "base/units.h"
#include "sky/sky.h"
#include "support/validated.h"

using namespace rakelight;

// sun_position is held against the published example and ERFA in sun.cpp.
TEST_CASE("the sun through a day is sun_position's, and so is refraction") {
  test::Validated found("sun through a day, for the year", "sun_position at 10,000 instants", "0.0002°", "°");
  double worst = 0, worst_refraction = 0;
  for (int i = 0; i < 400; ++i) {
    const double latitude = (-89 + 178 * ((i * 37) % 400) / 399.0) * rad_per_deg, longitude = (-180 + 360 * ((i * 83) % 400) / 399.0) * rad_per_deg;
    const double from = julian_date(1990 + i % 60, 1 + i % 12, 1 + i % 28, 0, 0, 0) + 0.37 * (i % 3);
    const DaySun day(from, latitude, longitude);
    for (int k = 0; k <= 24; ++k) {
      const SunPosition a = day.position(from + k / 24.0), b = sun_position(from + k / 24.0, latitude, longitude);
      const auto vector = [](const SunPosition& s) {
        return dvec3(std::sin(s.azimuth) * std::cos(s.altitude), std::cos(s.azimuth) * std::cos(s.altitude), std::sin(s.altitude));
      };
      worst = std::max(worst, glm::length(glm::cross(vector(a), vector(b))));
      if (std::abs(b.altitude + 0.8333 * rad_per_deg) > 1e-4)
        worst_refraction = std::max(worst_refraction, std::abs(refraction(b.altitude) - (b.apparent_altitude - b.altitude)));
    }
  }
  INFO("worst " << worst * deg_per_rad << " degrees");
  // the parabola leaves 0.0001°, the round earth's parallax another 0.00003°
  CHECK(found.off(worst * deg_per_rad) < 0.0002);
  CHECK(worst_refraction < 1e-12);  // the same formula: rounding
}
