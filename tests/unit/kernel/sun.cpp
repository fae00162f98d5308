#include "kernel/sun.h"
#include "support/validated.h"

#include <catch2/catch.hpp>
#include <cmath>

using namespace rakelight;

namespace {
// Mean of f over the unit disc on n x n midpoints.
template <class F>
double disc_mean(int n, F f) {
  double sum = 0;
  int inside = 0;
  for (int i = 0; i < n; ++i)
    for (int j = 0; j < n; ++j) {
      double u = -1 + (2 * i + 1.0) / n, v = -1 + (2 * j + 1.0) / n;
      if (u * u + v * v > 1) continue;
      ++inside;
      sum += f(u, v);
    }
  return sum / inside;
}
}  // namespace

TEST_CASE("the sun's radius is 0.2665 degrees") {
  CHECK(kernel::sun_radius() * 180 / pi == Approx(0.2665).margin(1e-8));  // the digits written in the kernel
}

TEST_CASE("share of a disc above an edge") {
  CHECK(kernel::disc_share(-1.0) == 0.0);
  CHECK(kernel::disc_share(-3.0) == 0.0);
  CHECK(kernel::disc_share(1.0) == 1.0);
  CHECK(kernel::disc_share(0.0) == Approx(0.5).epsilon(1e-15));
  // segment of half angle 60 degrees: 2/3 + sqrt(3)/(4 pi), rounding only
  CHECK(kernel::disc_share(0.5) == Approx(2.0 / 3 + std::sqrt(3.0) / (4 * pi)).epsilon(1e-14));
  for (double x = 0; x <= 1; x += 0.05) CHECK(kernel::disc_share(x) + kernel::disc_share(-x) == Approx(1).epsilon(1e-14));
}

TEST_CASE("a facet near its terminator gets the mean of max(0, cos) over the disc") {
  test::Validated found("facet at its terminator", "mean over 785,000 points of the sun's disc", "3e-5 of the disc's radius");
  double s = kernel::sun_radius();
  for (double x = -1; x <= 1.5; x += 0.125) {
    double mean = disc_mean(1000, [&](double, double v) { return std::max(0.0, x + v); });
    CAPTURE(x);
    // the disc's edge on a 1000 x 1000 grid is good to 1e-5 of the whole; sine for angle is 4e-6
    CHECK(found.off(std::abs(kernel::disc_terminator(x * s, s) / s - mean)) < 3e-5);
  }
  // at the terminator itself two thirds of s/pi
  CHECK(kernel::disc_terminator(0.0, s) == Approx(s / pi * 2 / 3).epsilon(1e-5));  // sine for angle again
}

TEST_CASE("the terminator joins its neighbours without a step") {
  double s = kernel::sun_radius();
  CHECK(kernel::disc_terminator(0.3, s) == std::sin(0.3));
  CHECK(kernel::disc_terminator(-0.3, s) == 0.0);
  double step = 1e-9;  // rad: the slope is at most 1, so a joint may differ by that much
  CHECK(std::abs(kernel::disc_terminator(s + step, s) - kernel::disc_terminator(s - step, s)) < 3 * step);
  CHECK(kernel::disc_terminator(-s + step, s) < step);
}

TEST_CASE("share of the sun through a rectangle") {
  glm::dvec2 lo(0, 0), hi(1, 2);
  CHECK(kernel::rect_share(glm::dvec2(0.5, 1), lo, hi, 0.1, 0.2) == 1.0);
  CHECK(kernel::rect_share(glm::dvec2(-0.2, 1), lo, hi, 0.1, 0.2) == 0.0);
  CHECK(kernel::rect_share(glm::dvec2(0, 1), lo, hi, 0.1, 0.2) == Approx(0.5).epsilon(1e-14));
  CHECK(kernel::rect_share(glm::dvec2(0, 2), lo, hi, 0.1, 0.2) == Approx(0.25).epsilon(1e-14));
  CHECK(kernel::rect_share(glm::dvec2(0.5, 1), lo, hi, 0.0, 0.0) == 1.0);
  CHECK(kernel::rect_share(glm::dvec2(-1e-6, 1), lo, hi, 0.0, 0.0) == 0.0);
  // a slot narrower than the disc: the strip between two chords
  double slot = kernel::rect_share(glm::dvec2(0.5, 1), lo, hi, 2.0, 0.01);
  CHECK(slot == Approx(2 * kernel::disc_share(0.25) - 1).epsilon(1e-14));
}

TEST_CASE("about a corner the share is off by at most 0.014") {
  test::Validated found("sun past a corner of an opening", "70,000 points of its disc", "1.4 % of it, and the count's 0.2 %", " %", 100);
  double worst = 0;
  for (double px = -1.1; px <= 1.11; px += 0.1)
    for (double py = -1.1; py <= px; py += 0.1) {
      double truth = disc_mean(300, [&](double u, double v) { return px + u > 0 && py + v > 0 ? 1.0 : 0.0; });
      double share = kernel::rect_share(glm::dvec2(px, py), glm::dvec2(0, 0), glm::dvec2(9, 9), 1.0, 1.0);
      worst = std::max(worst, std::abs(share - truth));
    }
  CHECK(found.off(worst) < 0.014 + 0.002);  // 0.002: the counted grid's own error
  CHECK(worst > 0.01);           // so that the figure in the kernel's comment stays true
}
