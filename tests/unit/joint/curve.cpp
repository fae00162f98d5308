// The interpolated section against closed forms.
#include <cmath>
#include <functional>

#include <catch2/catch.hpp>

#include "base/units.h"
#include "joint/curve.h"

using namespace rakelight;
using Approx = Catch::Detail::Approx;

namespace {

HeightCurve sampled(double half, const std::function<double(double)>& h, const std::function<double(double)>& slope) {
  HeightCurve c(-half - 0.002, half + 0.002, 0.0005);
  for (int i = 0; i < c.size(); ++i) {
    double u = c.offset(i);
    if (std::abs(u) > half) continue;
    c.height[i] = h(u);
    c.slope[i] = slope(u);
  }
  return c;
}
double steepest_between_samples(const HeightCurve& c) {
  double s = 0;
  for (double u = c.first; u < c.offset(c.size() - 1); u += 0.00013) s = std::max(s, std::abs(c.slope_at(u)));
  return s;
}
}  // namespace

TEST_CASE("peak slopes of the plain shapes are the closed forms") {
  // differentiation by hand: raised cosine pi c / w, triangle 2 c / w, parabola 4 c / w at its edge
  const double c = 0.001, w = 0.550;
  HeightCurve cosine = sampled(w / 2, [&](double u) { return c / 2 * (1 + std::cos(2 * pi * u / w)); },
                               [&](double u) { return -c * pi / w * std::sin(2 * pi * u / w); });
  // 1e-5 relative: the cubic's slope error is of the third order in step / w = 1e-3
  CHECK(steepest_between_samples(cosine) == Approx(pi * c / w).epsilon(1e-5));
  CHECK(pi * c / w == Approx(5.71e-3).epsilon(1e-3));  // 1.0 mm over 550 mm: 5.71 mrad
  CHECK(cosine.area() == Approx(c * w / 2).epsilon(1e-6));  // crown volume h w / 2 per metre of joint

  HeightCurve triangle = sampled(w / 2, [&](double u) { return c * (1 - std::abs(u) / (w / 2)); },
                                 [&](double u) { return u == 0 ? 0 : (u < 0 ? 1 : -1) * 2 * c / w; });
  CHECK(triangle.steepest() == Approx(2 * c / w).epsilon(1e-12));
  CHECK(triangle.slope_at(-0.1) == Approx(2 * c / w).epsilon(1e-9));
  CHECK(triangle.slope_at(0.1) == Approx(-2 * c / w).epsilon(1e-9));

  HeightCurve parabola = sampled(w / 2, [&](double u) { return c * (1 - 4 * u * u / (w * w)); },
                                 [&](double u) { return -8 * c * u / (w * w); });
  CHECK(parabola.steepest() == Approx(4 * c / w).epsilon(1e-12));
  CHECK(parabola.slope_at(-w / 4) == Approx(2 * c / w).epsilon(1e-9));
}

TEST_CASE("a break spreads over no more than two samples") {
  const double c = 0.001, w = 0.300;
  HeightCurve triangle = sampled(w / 2, [&](double u) { return c * (1 - std::abs(u) / (w / 2)); },
                                 [&](double u) { return std::abs(u) < 1e-9 ? 0 : (u < 0 ? 1 : -1) * 2 * c / w; });
  for (double u : {-0.0006, 0.0006}) CHECK(std::abs(triangle.slope_at(u)) == Approx(2 * c / w).epsilon(1e-9));
}

TEST_CASE("ridges and plateaus are what they say") {
  HeightCurve c(-0.05, 0.05, 0.0005);
  add_ridge(c, 0.0, 0.00012, 0.006);
  CHECK(c.height_at(0) == Approx(0.00012));
  // half height at half the full width: the definition of full width at half maximum
  CHECK(c.height_at(0.003) == Approx(0.00006).epsilon(1e-6));
  // steepest slope of a Gaussian: ridge / (sigma sqrt(e)), sigma = width / 2.3548; sampled, so only to 1 %
  CHECK(c.steepest() == Approx(0.00012 / (0.006 / 2.35482) * std::exp(-0.5)).epsilon(0.01));

  HeightCurve p(-0.05, 0.05, 0.0005);
  add_plateau(p, -0.025, 0.025, 0.0001, 0.006);
  CHECK(p.height_at(0) == Approx(0.0001));
  CHECK(p.height_at(-0.025) == Approx(0).margin(1e-12));
  CHECK(p.height_at(0.022) == Approx(0.00005));
}

TEST_CASE("slopes belong to the heights") {
  HeightCurve c(-0.05, 0.05, 0.0005);
  add_ridge(c, 0.01, 0.0003, 0.008);
  add_plateau(c, -0.03, 0.02, 0.0002, 0.005);
  for (double u = -0.045; u < 0.045; u += 0.00037) {
    double e = 1e-7;
    // central difference of a cubic over 0.2 micrometres: rounding of 1e-19 / 1e-7 and no more, except at a sample,
    // where the second derivative jumps (bounded by 0.1 per m here)
    CHECK((c.height_at(u + e) - c.height_at(u - e)) / (2 * e) == Approx(c.slope_at(u)).margin(1e-7));
  }
}
