#include "kernel/sky.h"

#include <catch2/catch.hpp>
#include <cmath>

#include "base/units.h"
using namespace rakelight;

namespace {

}

// Two points of the standard's curves as published (CIE S 011/E:2003, figures; digits in public copies).
TEST_CASE("gradation and indicatrix meet published points") {
  CHECK(kernel::iso_gradation(1.0, 4, -0.7) == Approx(2.9863412).margin(5e-8));  // half of the last digit printed
  CHECK(kernel::iso_indicatrix(30 * rad_per_deg, 10, -3, 0.45) == Approx(3.3264628).margin(5e-8));
  CHECK(kernel::iso_gradation(0.0, 4, -0.7) == 1.0);
  CHECK(kernel::iso_gradation(1e-9, 4, -0.7) == 1.0);
  CHECK(kernel::iso_indicatrix(90 * rad_per_deg, 10, -3, 0.45) == Approx(1).epsilon(1e-15));
}

TEST_CASE("small angles between directions keep their digits") {
  glm::dvec3 u(0, 0, 1);
  for (double angle : {1e-12, 1e-6, 0.5, 3.0})
    CHECK(kernel::angle_between(u, glm::dvec3(std::sin(angle), 0, std::cos(angle))) == Approx(angle).epsilon(1e-12));
}

TEST_CASE("outside: ground, skyline, sky") {
  kernel::Outside o{};
  o.sun = glm::dvec3(0, 1, 0);
  o.b = -1;
  o.d = -1;
  o.scale = 700;
  o.skyline_altitude = 3 * rad_per_deg;
  o.skyline_luminance = 50;
  o.ground_luminance = 20;
  auto at = [&](double altitude_deg) {
    return kernel::outside_luminance(o, glm::dvec3(std::cos(altitude_deg * rad_per_deg), 0, std::sin(altitude_deg * rad_per_deg)));
  };
  CHECK(at(-1) == 20.0);
  CHECK(at(0) == 20.0);
  CHECK(at(2.99) == 50.0);
  CHECK(at(3.01) == 700.0);  // type 5: the same everywhere
  CHECK(at(90) == 700.0);
  o.skyline_altitude = 0;
  CHECK(at(0.01) == 700.0);
}
