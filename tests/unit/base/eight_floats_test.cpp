// Logarithm and exponential of eight floats, beside the library's own in double.
#include "base/eight_floats.h"

#include <catch2/catch.hpp>
#include <array>
#include <cmath>

using namespace rakelight;

namespace {

struct OfEight { std::array<float, 8> log, exp; };

RAKELIGHT_WIDE void find(const std::array<float, 8>& x, OfEight& found) {
  EightFloats at, log, exp;
  load(at, x.data());
  log_of(log, at);
  exp_of(exp, at);
  store(found.log.data(), log);
  store(found.exp.data(), exp);
}

}  // namespace

TEST_CASE("logarithm and exponential of eight floats at once") {
  OfEight found;
  int count = 0;
  for (double power = -30; power < 30; power += 0.02) {
    std::array<float, 8> x;
    for (std::size_t i = 0; i < 8; ++i) x[i] = static_cast<float>(std::pow(2.0, power + 0.0025 * static_cast<double>(i)));
    find(x, found);
    for (std::size_t i = 0; i < 8; ++i) {
      const double exact = std::log(static_cast<double>(x[i]));
      CAPTURE(x[i]);
      CHECK(std::abs(found.log[i] - exact) <= 2e-7 * std::max(1.0, std::abs(exact)));
      ++count;
    }
  }
  for (double at = -79.9; at < 79.9; at += 0.08) {
    std::array<float, 8> x;
    for (std::size_t i = 0; i < 8; ++i) x[i] = static_cast<float>(at + 0.01 * static_cast<double>(i));
    find(x, found);
    for (std::size_t i = 0; i < 8; ++i) {
      CAPTURE(x[i]);
      // 3e-7, and what a float's own last digit of x makes of eˣ far out: its product with 1 / ln 2 is rounded
      CHECK(found.exp[i] / std::exp(static_cast<double>(x[i])) == Approx(1).margin(3e-7 + 6e-8 * std::abs(x[i])));
      ++count;
    }
  }
  CHECK(count > 30000);
  find({-100, -80, 80, 100, 0, 1, -1, 1e-3f}, found);
  CHECK(found.exp[0] == found.exp[1]);
  CHECK(found.exp[3] == found.exp[2]);
  CHECK(found.exp[4] == 1.0f);
}
