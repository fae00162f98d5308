// Lamp intensity, interpolation weights and the sun's share through a window.
#include <catch2/catch.hpp>
#include <cmath>

#include "base/quadrature.h"
#include "base/random.h"
#include "base/units.h"
#include "kernel/field.h"
#include "kernel/lamp.h"
#include "kernel/window.h"
#include "light/lamp.h"
#include "rooms.h"
#include "support/validated.h"

using namespace rakelight;
using namespace rakelight::testing;

TEST_CASE("a cosine-power lamp sends out its flux and halves at half its beam", "[light]") {
  test::Validated found("cosⁿ lamp, its flux", "2π I₀ / (n + 1)", "1e-6");
  // flux of I0 cosⁿ over the half space is 2 pi I0 / (n + 1) (integrate 2 pi c^n dc)
  const Job job = box_job(4, 4, 3);
  const Room room = room_of(job);
  for (double beam : {15.0, 36.0, 60.0, 90.0, 120.0}) {
    const Lamp lamp = make_lamp(lamp_spec("L", {2, 2, 3}, 700, beam), room);
    double flux = 0;
    // c^n is smooth enough on [0, 1] for 64 nodes to reach 1e-9 even at n about 80
    for (const Node& c : gauss_nodes(64)) flux += 2 * pi * c.weight * kernel::lamp_intensity(c.x, lamp.peak, lamp.exponent);
    INFO("beam " << beam);
    CHECK(found.share(flux, 700) == Approx(700).epsilon(1e-6));
    CHECK(kernel::lamp_intensity(std::cos(0.5 * beam * rad_per_deg), lamp.peak, lamp.exponent) == Approx(0.5 * lamp.peak).epsilon(1e-12));
    CHECK(lamp.peak == Approx(700 * (lamp.exponent + 1) / (2 * pi)).epsilon(1e-12));
    CHECK(kernel::lamp_intensity(-0.1, lamp.peak, lamp.exponent) == 0);
  }
  // a beam of 120 degrees is Lambert's cosine: flux = pi I0
  CHECK(make_lamp(lamp_spec("L", {2, 2, 3}, 1000 * pi, 120), room).peak == Approx(1000).epsilon(1e-9));
}

TEST_CASE("parts of a near lamp add up to the disc's own light", "[light]") {
  test::Validated found("near round lamp in parts", "Howell C-22", "1e-3");
  // A Lambertian disc is exact in kernels/polygon.glsl's sibling: Howell C-22. A 120 degree lamp is that disc with
  // L = I0 / area. The seven- and fifty-point rules leave 1e-3 and 2e-4 of it.
  Lamp lamp;
  lamp.at = {0, 0, 1};
  lamp.exponent = 1;
  lamp.peak = 100;
  const double r_of[] = {0.3, 0.1};
  for (double radius : r_of) {
    lamp.size = 2 * radius;
    for (double offset : {0.0, 0.4, 1.0}) {
      const dvec3 e = lamp_light(lamp, {offset, 0, 0}, {0, 0, 1}, [](dvec3) { return true; });
      const double h = 1 / std::max(offset, 1e-9), ratio = radius / std::max(offset, 1e-9), z = 1 + h * h + ratio * ratio;
      const double factor = offset == 0 ? radius * radius / (radius * radius + 1)
                                        : 0.5 * (1 - (z - 2 * ratio * ratio) / std::sqrt(z * z - 4 * ratio * ratio));
      const double exact = 100 / (pi * radius * radius) * pi * factor;
      INFO("radius " << radius << " offset " << offset);
      CHECK(found.share(e.z, exact) == Approx(exact).epsilon(1e-3));
    }
  }
}

TEST_CASE("isotropic source: the inverse square figures", "[light]") {
  test::Validated found("isotropic lamp", "I cos / d² at 6 places", "0.0006 lx, three digits printed", " lx");
  // 10 000 lm, 3 m up, floor offset 0 … 5 m: optics closed form E = I cos / d² (88.419 lx below the lamp)
  const double expected[] = {88.419, 75.494, 50.933, 31.261, 19.099, 12.042};
  for (int r = 0; r <= 5; ++r) {
    const dvec3 e = kernel::lamp_vector({-static_cast<double>(r), 0, 3}, {0, 0, -1}, 10000 / (4 * pi), 0);
    CHECK(found.near(e.z, expected[r]) == Approx(expected[r]).margin(6e-4).epsilon(0));  // three decimals printed
  }
}

TEST_CASE("field weights rebuild second-degree fields everywhere, borders included", "[light]") {
  // Keys 1981: cubic convolution with his border condition is exact for polynomials up to the second degree
  Random random(3);
  for (int n : {4, 5, 9})
    for (int trial = 0; trial < 50; ++trial) {
      const double a = random.uniform(-1, 1), b = random.uniform(-1, 1), c = random.uniform(-1, 1);
      const auto f = [&](double u) { return a + b * u + c * u * u; };
      const double u = trial == 0 ? 0 : trial == 1 ? n - 1 : random.uniform(0, n - 1);
      const dvec4 w = kernel::field_weights(u, n), d = kernel::field_slopes(u, n);
      const int first = static_cast<int>(kernel::field_first_tap(u, n));
      REQUIRE(first >= 0);
      REQUIRE(first + 3 < n);
      double value = 0, slope = 0;
      for (int k = 0; k < 4; ++k) {
        value += w[k] * f(first + k);
        slope += d[k] * f(first + k);
      }
      INFO("n " << n << " u " << u);
      CHECK(value == Approx(f(u)).margin(1e-12));
      CHECK(slope == Approx(b + 2 * c * u).margin(1e-12));
    }
}

TEST_CASE("sun through a window: full behind the glass, half at an edge, nothing past the reveal", "[light]") {
  const dvec2 lo(0, 0), hi(2, 2), glass_lo(0.1, 0.1), glass_hi(1.9, 1.9);
  const double reveal = 0.2, radius = kernel::sun_radius();
  const dvec3 square_on(0, 0, -1);
  CHECK(kernel::window_sun_share({1, 1, 3}, square_on, lo, hi, glass_lo, glass_hi, reveal, radius) == Approx(1));
  CHECK(kernel::window_sun_share({0.1, 1, 3}, square_on, lo, hi, glass_lo, glass_hi, reveal, radius) == Approx(0.5));
  CHECK(kernel::window_sun_share({0, 1, 3}, square_on, lo, hi, glass_lo, glass_hi, reveal, radius) == Approx(0).margin(1e-12));
  CHECK(kernel::window_sun_share({1, 1, 3}, {0, 0, 1}, lo, hi, glass_lo, glass_hi, reveal, radius) == 0);
  // the edge's penumbra is 2 × 3.2 m × 0.00465 wide: a quarter of the way in, the segment's area is 0.1955 of the disc
  const double blur = 3.2 * radius;
  CHECK(kernel::window_sun_share({0.1 - 0.5 * blur, 1, 3}, square_on, lo, hi, glass_lo, glass_hi, reveal, radius) ==
        Approx(0.19550).margin(1e-4).epsilon(0));
  // at 45 degrees the near jamb hides what the glass's left edge alone would let through: the opening's edge is met 3 m
  // off the wall at x = -3, the glass's at 3.2 m at x = -3.1 (penumbra 0.03 m)
  const dvec3 slanting = glm::normalize(dvec3(1, 0, -1));
  CHECK(kernel::window_sun_share({-2.95, 1, 3}, slanting, lo, hi, glass_lo, glass_hi, reveal, radius) == Approx(1));
  CHECK(kernel::window_sun_share({-3.0, 1, 3}, slanting, lo, hi, glass_lo, glass_hi, reveal, radius) == Approx(0.5));
  CHECK(kernel::window_sun_share({-3.05, 1, 3}, slanting, lo, hi, glass_lo, glass_hi, reveal, radius) == 0);
}
