// Logarithm and exponential of eight floats, beside the library's own in double.
#include "base/eight_floats.h"

#include <catch2/catch.hpp>
#include <array>
#include <cmath>

using namespace rakelight;

namespace {

using Eight = std::array<float, 8>;

RAKELIGHT_WIDE void find_log(const Eight& x, Eight& found) {
  EightFloats at, log;
  load(at, x.data());
  log_of(log, at);
  store(found.data(), log);
}
RAKELIGHT_WIDE void find_exp(const Eight& x, Eight& found) {
  EightFloats at, exp;
  load(at, x.data());
  exp_of(exp, at);
  store(found.data(), exp);
}

}  // namespace

TEST_CASE("logarithm and exponential of eight floats at once") {
  Eight found;
  int count = 0;
  for (double power = -30; power < 30; power += 0.02) {
    Eight x;
    for (std::size_t i = 0; i < 8; ++i) x[i] = static_cast<float>(std::pow(2.0, power + 0.0025 * static_cast<double>(i)));
    find_log(x, found);
    for (std::size_t i = 0; i < 8; ++i) {
      const double exact = std::log(static_cast<double>(x[i]));
      CAPTURE(x[i]);
      CHECK(std::abs(found[i] - exact) <= 2e-7 * std::max(1.0, std::abs(exact)));
      ++count;
    }
  }
  for (double at = -79.9; at < 79.9; at += 0.08) {
    Eight x;
    for (std::size_t i = 0; i < 8; ++i) x[i] = static_cast<float>(at + 0.01 * static_cast<double>(i));
    find_exp(x, found);
    for (std::size_t i = 0; i < 8; ++i) {
      CAPTURE(x[i]);
      // 3e-7, and what a float's own last digit of x makes of eˣ far out: its product with 1 / ln 2 is rounded
      CHECK(found[i] / std::exp(static_cast<double>(x[i])) == Approx(1).margin(3e-7 + 6e-8 * std::abs(x[i])));
      ++count;
    }
  }
  CHECK(count > 30000);
  find_exp({-100, -80, 80, 100, 0, 1, -1, 1e-3f}, found);
  CHECK(found[0] == found[1]);
  CHECK(found[3] == found[2]);
  CHECK(found[4] == 1.0f);
}
