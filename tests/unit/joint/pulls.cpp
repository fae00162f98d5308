// Bare joints and blade pulls.
#include <cmath>

#include <catch2/catch.hpp>

#include "joint/pulls.h"
#include "joint/make_up.h"

using namespace rakelight;
using Approx = Catch::Detail::Approx;

namespace {
Recipe of(JointKind kind) {
  Recipe r;
  r.kind = kind;
  return r;
}
HeightCurve flat() { return HeightCurve(-0.6, 0.6, 0.0005); }
}  // namespace

TEST_CASE("a bare recess takes 78 mm2 of fill") {
  HeightCurve h = flat();
  add_bare_joint(h, of(JointKind::recessed), 0, 1, 1);
  CHECK(h.height_at(0) == Approx(-0.0013));
  // depth x taper width = 1.3 x 60 = 78 mm2 for two straight tapers; 1.5 %: the rounded shoulders add
  // 2 x (1.3 / 60) r^2 / 6 = 0.46 mm2 (r = 8), and the cubic at the centre a little
  CHECK(-h.area() == Approx(78e-6).epsilon(0.015));
  CHECK(-h.area() == Approx(78e-6 + 0.46e-6).epsilon(0.001));
  CHECK(h.height_at(0.068) == Approx(0).margin(1e-15));
  // convex at the shoulder: the face falls away ever faster towards the joint
  CHECK(h.slope_at(0.066) < h.slope_at(0.060));
  CHECK(h.slope_at(0.060) < h.slope_at(0.050));
  CHECK(h.slope_at(0.030) == Approx(1.3 / 60));
}

TEST_CASE("a bare butt is a step between square ends") {
  HeightCurve h = flat();
  add_bare_joint(h, of(JointKind::butt), 0.0004, 1, 1);
  CHECK(h.height_at(-0.01) == Approx(-0.0002));
  CHECK(h.height_at(0.01) == Approx(0.0002));
  CHECK(h.height_at(0) == Approx(0).margin(1e-12));
}

TEST_CASE("a pull is its chord and 1 - t2 over it") {
  Pull p{-0.1, 0.2, 0.0001, 0.0007, 0.0003, false, false};
  // B = chord + c (1 - t^2), t = (u - 0.05) / 0.15
  for (double u : {-0.1, -0.03, 0.05, 0.13, 0.2}) {
    double t = (u - 0.05) / 0.15;
    CHECK(blade_at(p, u).height == Approx(0.0001 + 0.0006 * (u + 0.1) / 0.3 + 0.0003 * (1 - t * t)).margin(1e-15));
    CHECK(blade_at(p, u).slope == Approx(0.002 - 2 * 0.0003 * t / 0.15).margin(1e-15));
  }
  p.press_from = p.press_to = true;
  CHECK(blade_at(p, -0.1).height == Approx(0.0001));
  CHECK(blade_at(p, -0.1).slope == Approx(0).margin(1e-15));
  CHECK(blade_at(p, 0.2).slope == Approx(0).margin(1e-15));
  for (double join : {-0.1 + 0.045, 0.2 - 0.045}) {  // the last 15 %
    CHECK(blade_at(p, join - 1e-9).height == Approx(blade_at(p, join + 1e-9).height).epsilon(1e-6));
    CHECK(blade_at(p, join - 1e-9).slope == Approx(blade_at(p, join + 1e-9).slope).epsilon(1e-5));
  }
  for (double u = -0.0999; u < 0.1999; u += 0.0007)
    CHECK((blade_at(p, u + 1e-7).height - blade_at(p, u - 1e-7).height) / 2e-7 == Approx(blade_at(p, u).slope).margin(1e-6));
}

TEST_CASE("every coat balances: what dried out is the shrinkage times what went on") {
  HeightCurve before = flat();
  add_bare_joint(before, of(JointKind::recessed), 0, 1, 1);
  add_ridge(before, 0.05, 0.0003, 0.007);
  for (double shrinkage : {0.03, 0.25})
    for (bool sides : {false, true})
      for (double top : {-0.0004, 0.0, 0.0011}) {
        Coat c = lay_coat(before, plan_coat(before, 0.150, 0.150, top, sides, true, {0.3}), shrinkage);
        double wet = c.wet.area() - before.area(), dried = c.dried.area() - before.area();
        CHECK(wet > 0);
        CHECK(dried == Approx((1 - shrinkage) * wet).epsilon(1e-12));
        for (int i = 0; i < before.size(); ++i) {
          CHECK(c.wet.height[i] >= before.height[i]);
          CHECK(c.dried.height[i] >= before.height[i]);
        }
      }
}

TEST_CASE("a drying fill sinks into a hollow that the next coat fills") {
  HeightCurve recess = flat();
  add_bare_joint(recess, of(JointKind::recessed), 0, 1, 1);
  Coat first = lay_coat(recess, plan_coat(recess, 0.1, 0.1, 0, false, true, {0.3}), 0.25);
  // filled flush: a quarter of the 1.3 mm depth is lost at the centre
  CHECK(first.wet.height_at(0) == Approx(0).margin(1e-12));
  CHECK(first.dried.height_at(0) == Approx(-0.25 * 0.0013));
  Coat second = lay_coat(first.dried, plan_coat(first.dried, 0.1, 0.1, 0, false, true, {0.3}), 0.25);
  CHECK(second.dried.height_at(0) == Approx(-0.25 * 0.25 * 0.0013));
}

TEST_CASE("wide coats are pulled each side of the centre, in passes no longer than the blade") {
  HeightCurve before = flat();
  for (double width : {0.3, 0.5, 0.6, 0.9}) {
    std::vector<Pull> pulls = plan_coat(before, width / 2, width / 2, 0.001, true, true, {0.15, 0.2, 0.3});
    CHECK(pulls.size() >= 2);
    double left = 0, right = 0;
    for (const Pull& p : pulls) {
      CHECK(p.to - p.from <= 0.3 + 1e-9);
      left = std::min(left, p.from);
      right = std::max(right, p.to);
    }
    CHECK(left == Approx(-width / 2));
    CHECK(right == Approx(width / 2));
    // passes of one side join to the curve that a single long blade would leave, away from the pressed edge
    std::vector<Pull> one = plan_coat(before, width / 2, width / 2, 0.001, true, true, {2.0});
    Coat a = lay_coat(before, pulls, 0), b = lay_coat(before, one, 0);
    for (double u = 0; u < 0.8 * width / 2 - 0.02; u += 0.01) CHECK(a.wet.height_at(u) == Approx(b.wet.height_at(u)).epsilon(1e-6));
    // lap marks lie inside the joint
    HeightCurve laps = flat();
    add_laps(laps, pulls, 0.0001, 0.006);
    CHECK(laps.height_at(0.1 * width) == Approx(0.0001).epsilon(0.05));
    CHECK(std::abs(laps.height_at(width / 2)) < 1e-6);
    CHECK(laps.height_at(width / 2 - 0.012) == Approx(0.00005).epsilon(0.01));
  }
  CHECK(plan_coat(before, 0.125, 0.125, 0.0005, false, true, {0.15, 0.2, 0.3}).size() == 1);
  CHECK(plan_coat(before, 0.200, 0.200, 0.0005, false, true, {0.15, 0.2, 0.3}).size() > 1);
}
