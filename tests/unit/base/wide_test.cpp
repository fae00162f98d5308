// Functions of four numbers at a time against the library's of one.
#include <catch2/catch.hpp>

#include <array>
#include <cmath>

#include "base/random.h"
#include "base/wide_angle.h"
#include "base/wide_power.h"

using namespace rakelight;

namespace {

using Numbers = std::array<double, four>;

RAKELIGHT_WIDE void angles(const Numbers& up, const Numbers& over, Numbers& out) {
  Four a, b, angle;
  load(a, up.data());
  load(b, over.data());
  angle_of(angle, a, b);
  store(out.data(), angle);
}

RAKELIGHT_WIDE void powers(const Numbers& x, double exponent, Numbers& out) {
  Four a, power;
  load(a, x.data());
  power_of(power, a, exponent);
  store(out.data(), power);
}

}  // namespace

TEST_CASE("angles of four numbers are the library's") {
  Random random(7);
  double worst = 0;
  for (int i = 0; i < 100000; ++i) {
    Numbers up, over, out;
    for (std::size_t k = 0; k < four; ++k) {
      // over fifteen decades, and close together, where the angle is folded
      up[k] = std::pow(10, -12 + 15 * random.uniform());
      over[k] = (2 * random.uniform() - 1) * (i % 2 ? 3 * up[k] : std::pow(10, -12 + 15 * random.uniform()));
    }
    angles(up, over, out);
    for (std::size_t k = 0; k < four; ++k) worst = std::max(worst, std::abs(out[k] / std::atan2(up[k], over[k]) - 1));
  }
  // two roundings of the last place
  CHECK(worst < 6e-16);
  Numbers out;
  angles({0, 1, 0, 1}, {1, 0, -1, -1e300}, out);
  CHECK(out[0] == 0);
  CHECK(out[1] == std::atan2(1.0, 0.0));
  CHECK(out[2] == std::atan2(0.0, -1.0));
  CHECK(out[3] == std::atan2(1.0, -1e300));
}

TEST_CASE("powers of four numbers are the library's") {
  Random random(8);
  double worst = 0, wild = 0;
  for (int i = 0; i < 50000; ++i) {
    Numbers x, out;
    for (double& v : x) v = std::pow(10, -3 + 3.5 * random.uniform());
    powers(x, 2.4081, out);
    for (std::size_t k = 0; k < four; ++k) worst = std::max(worst, std::abs(out[k] / std::pow(x[k], 2.4081) - 1));
    for (double& v : x) v = std::pow(10, -30 + 60 * random.uniform());
    const double exponent = 20 * random.uniform() - 10;
    powers(x, exponent, out);
    for (std::size_t k = 0; k < four; ++k) wild = std::max(wild, std::abs(out[k] / std::pow(x[k], exponent) - 1));
  }
  // the logarithm's roundings count as often as the exponent times itself says: 17 for the first, 690 for the others
  CHECK(worst < 1e-14);
  CHECK(wild < 3e-13);
  Numbers out;
  powers({1, 1, 1, 1}, 2.4081, out);
  CHECK(out[0] == 1);
}
