// Text, random numbers, quadrature.
#include <catch2/catch.hpp>
#include <cmath>
#include <limits>

#include "base/quadrature.h"
#include "base/random.h"
#include "base/text.h"
#include "base/units.h"

using namespace rakelight;

TEST_CASE("numbers as text read back as the same double") {
  CHECK(number_text(0.1) == "0.1");
  CHECK(number_text(-0.0) == "0");
  CHECK(number_text(2650) == "2650");
  Random random(7);
  for (int i = 0; i < 1000; ++i) {
    const double x = std::ldexp(random.uniform(-1, 1), static_cast<int>(random.uniform(-300, 300)));
    CHECK(std::stod(number_text(x)) == x);
  }
  CHECK(fixed_text(1.4, 2) == "1.40");
  CHECK(fixed_text(-0.04, 1) == "0.0");
  CHECK(fixed_text(-0.06, 1) == "-0.1");
  CHECK(fixed_text(0.5, 0) == "0");  // half to even, as IEEE 754 rounds
}

TEST_CASE("the nearest word is a slip of the hand away, or none") {
  const std::vector<std::string> keys{"north", "skyline", "sill", "width", "height"};
  CHECK(nearest_word("nroth", keys) == "north");   // a swap is one slip
  CHECK(nearest_word("hieght", keys) == "height");
  CHECK(nearest_word("sil", keys) == "sill");
  CHECK(nearest_word("skylines", keys) == "skyline");
  CHECK(nearest_word("reveal", keys).empty());
  CHECK(nearest_word("", keys).empty());
  CHECK(nearest_word("9", {"0", "1"}).empty());    // nothing of it would be left
  CHECK(nearest_word("x", {}).empty());
  CHECK(nearest_word(std::string(100000, 'a'), keys).empty());
}

TEST_CASE("PCG32 gives its published numbers") {
  // the demo of the reference implementation (O'Neill 2014, pcg32-demo): seed 42, sequence 54
  Random random(42, 54);
  for (std::uint32_t expected : {0xa15c02b7u, 0x7b47f409u, 0xba1d3330u, 0x83d2f293u, 0xbfa4784bu, 0xcbed606eu}) CHECK(random.next() == expected);
}

TEST_CASE("uniform and normal numbers have their moments") {
  Random random(1);
  constexpr int n = 100000;
  double sum = 0, square = 0, fourth = 0, uniform = 0;
  for (int i = 0; i < n; ++i) {
    const double x = random.normal(), u = random.uniform();
    CHECK_FALSE((u < 0 || u >= 1));
    sum += x;
    square += x * x;
    fourth += x * x * x * x;
    uniform += u;
  }
  // five standard errors: sd of the mean 1/sqrt(n), of the square sqrt(2/n), of the fourth power sqrt(96/n), of u sqrt(1/12n)
  CHECK(std::abs(sum / n) < 5 / std::sqrt(n));
  CHECK(std::abs(square / n - 1) < 5 * std::sqrt(2.0 / n));
  CHECK(std::abs(fourth / n - 3) < 5 * std::sqrt(96.0 / n));
  CHECK(std::abs(uniform / n - 0.5) < 5 / std::sqrt(12.0 * n));
}

TEST_CASE("Gauss-Legendre nodes") {
  // Abramowitz & Stegun table 25.4, n = 5, on [-1, 1]
  const auto& five = gauss_nodes(5);
  CHECK(2 * five[4].x - 1 == Approx(0.906179845938664).margin(1e-14));
  CHECK(2 * five[3].x - 1 == Approx(0.538469310105683).margin(1e-14));
  CHECK(2 * five[4].weight == Approx(0.236926885056189).margin(1e-14));
  CHECK(2 * five[2].weight == Approx(0.568888888888889).margin(1e-14));
  for (int n : {1, 2, 3, 8, 16, 33, 64}) {
    // exact for polynomials up to degree 2n-1: here x^(2n-1), whose integral is 1/(2n); rounding of n terms
    double sum = 0, weights = 0;
    for (const Node& node : gauss_nodes(n)) {
      sum += node.weight * std::pow(node.x, 2 * n - 1);
      weights += node.weight;
    }
    CHECK(sum == Approx(1.0 / (2 * n)).epsilon(1e-12));
    CHECK(weights == Approx(1.0).epsilon(1e-13));
  }
}

TEST_CASE("the normal distribution function") {
  // Abramowitz & Stegun table 26.1
  CHECK(normal_cdf(0) == 0.5);
  CHECK(normal_cdf(1) == Approx(0.841344746068543).margin(1e-14));
  CHECK(normal_cdf(-2) == Approx(0.022750131948179).margin(1e-14));
}
