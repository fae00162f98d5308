// The drawn film and sanding.
#include <algorithm>
#include <cmath>

#include <catch2/catch.hpp>

#include "base/units.h"
#include "joint/film.h"
#include "support/validated.h"

using namespace rakelight;
using Approx = Catch::Detail::Approx;

namespace {
constexpr double crown = 0.001, width = 0.550, lap = 0.00012;
// Assumptions of the worked example, which states only the lap's height: full width at half height 6.86 mm, which
// gives the stated 30.6 mrad; laps 150 mm either side of the centre (125 mm in from the feather).
constexpr double lap_width = 0.00686, lap_at = 0.150;

HeightCurve crowned(double lap_height) {
  HeightCurve h(-0.4, 0.4, 0.0005);
  for (int i = 0; i < h.size(); ++i) {
    double u = h.offset(i);
    if (std::abs(u) > width / 2) continue;
    h.height[i] = crown / 2 * (1 + std::cos(2 * pi * u / width));
    h.slope[i] = -crown * pi / width * std::sin(2 * pi * u / width);
  }
  if (lap_height > 0) {
    add_ridge(h, -lap_at, lap_height, lap_width);
    add_ridge(h, lap_at, lap_height, lap_width);
  }
  return h;
}
}  // namespace

TEST_CASE("a drawn film takes the laps of a 1 mm crown and leaves the crown") {
  test::Validated found("film over a 1 mm crown with laps", "worked example: 5.3 and 7.0 mrad under blades that bridge 100 and 60 mm",
                        "0.4 mrad", " mrad", 1000);
  // Worked example of docs/physics: 30.6 mrad bare; 5.3 under a blade that bridges 100 mm, 7.0 under 60 mm; the crown
  // alone 5.7. Before shrinkage. 0.4 mrad: the place of the laps on the flank, unstated there, moves the figures by
  // as much for 20 mm.
  HeightCurve bare = crowned(lap);
  CHECK(bare.steepest() == Approx(0.0306).margin(0.0001));
  CHECK(crowned(0).steepest() == Approx(0.0057).margin(0.0001));
  CHECK(found.near(drawn_film(bare, 0.100, 0.0003, 0).steepest(), 0.0053) == Approx(0.0053).margin(0.0004));
  CHECK(found.near(drawn_film(bare, 0.060, 0.0003, 0).steepest(), 0.0070) == Approx(0.0070).margin(0.0004));
  // the broad crown stays: the film fills hollows only
  HeightCurve film = drawn_film(bare, 0.100, 0.0003, 0);
  CHECK(film.height_at(0) == Approx(crown));
  HeightCurve plain = drawn_film(crowned(0), 0.100, 0.0003, 0.25);
  CHECK(plain.steepest() > 0.0050);
}

TEST_CASE("a film shrinks, and is no thicker than it is drawn") {
  HeightCurve bare = crowned(lap);
  for (double shrinkage : {0.0, 0.03, 0.25}) {
    HeightCurve envelope = chord_envelope(bare, 0.080), film = drawn_film(bare, 0.080, 1, shrinkage);
    HeightCurve thin = drawn_film(bare, 0.080, 0.00005, shrinkage);
    for (int i = 0; i < bare.size(); ++i) {
      CHECK(film.height[i] - bare.height[i] == Approx((1 - shrinkage) * (envelope.height[i] - bare.height[i])).margin(1e-15));
      CHECK(thin.height[i] - bare.height[i] <= (1 - shrinkage) * 0.00005 + 1e-15);
    }
  }
}

TEST_CASE("the chord envelope is the highest chord no longer than the reach") {
  HeightCurve h(0, 0.06, 0.0005);
  for (int i = 0; i < h.size(); ++i) h.height[i] = 1e-4 * std::sin(700 * h.offset(i)) + 5e-5 * std::sin(1900 * h.offset(i));
  HeightCurve e = chord_envelope(h, 0.010);
  const int span = 20;
  for (int x = 0; x < h.size(); ++x) {
    double best = h.height[x];
    for (int a = std::max(0, x - span); a <= x; ++a)
      for (int b = x; b < h.size() && b <= a + span; ++b)
        if (b > a) best = std::max(best, h.height[a] + (h.height[b] - h.height[a]) * (x - a) / (b - a));
    CHECK(e.height[x] == Approx(best).margin(2e-13));  // the envelope ignores fills under 1e-13 m
  }
}

TEST_CASE("a film bridges a narrow hollow and not a wide one") {
  for (double hollow : {0.040, 0.300}) {
    HeightCurve h(-0.3, 0.3, 0.0005);
    for (int i = 0; i < h.size(); ++i)
      if (std::abs(h.offset(i)) < hollow / 2) h.height[i] = -0.00005 * (1 + std::cos(2 * pi * h.offset(i) / hollow));
    double left = drawn_film(h, 0.080, 0.0003, 0).height_at(0);
    if (hollow < 0.080)
      CHECK(left == Approx(0).margin(1e-12));
    else  // the chord centred on the hollow: the hollow's own height 40 mm off its centre
      CHECK(left == Approx(-0.00005 * (1 + std::cos(2 * pi * 0.040 / hollow))).epsilon(1e-6));
  }
}

TEST_CASE("sanding takes the stated share of a narrow ridge, leaves a flat face, and rounds an apex") {
  HeightCurve ridge(-0.1, 0.1, 0.0005);
  add_ridge(ridge, 0, 0.0002, 0.004);
  HeightCurve after = sanded(ridge, 0.040, 0.5);
  // the mean under the block is ridge * width * sqrt(pi / (4 ln 2)) / block = 0.1064 of the ridge
  CHECK(after.height_at(0) == Approx(0.0002 * (1 - 0.5 * (1 - 0.1064))).epsilon(0.001));
  for (int i = 0; i < after.size(); ++i) CHECK(after.height[i] <= ridge.height[i]);

  HeightCurve slope(-0.1, 0.1, 0.0005);
  for (int i = 0; i < slope.size(); ++i) {
    slope.height[i] = 0.01 * slope.offset(i);
    slope.slope[i] = 0.01;
  }
  HeightCurve even = sanded(slope, 0.040, 0.5);
  CHECK(even.height_at(0.05) == Approx(0.0005));

  HeightCurve roof(-0.1, 0.1, 0.0005);
  for (int i = 0; i < roof.size(); ++i) {
    double u = roof.offset(i);
    roof.height[i] = 0.001 - 0.01 * std::abs(u);
    roof.slope[i] = std::abs(u) < 1e-9 ? 0 : (u < 0 ? 0.01 : -0.01);
  }
  HeightCurve rounded = sanded(roof, 0.040, 0.5);
  CHECK(std::abs(rounded.slope_at(0.001)) < 0.0055);  // half of the break is gone
  CHECK(rounded.slope_at(0.05) == Approx(-0.01));
}

TEST_CASE("a coat of full thickness buries what a drawn film leaves") {
  const HeightCurve bare = crowned(lap);
  const double top = *std::max_element(bare.height.begin(), bare.height.end());
  // 1 mm over the board, 0.2 mm at least: 0.8 mm of the crown goes under, and with no shrinkage the rest stands
  const HeightCurve plaster = covering_coat(bare, 0.3, 1e-3, 0.2e-3, 0);
  CHECK(*std::max_element(plaster.height.begin(), plaster.height.end()) == Approx(top - 0.8e-3).margin(1e-6));
  CHECK(plaster.height_at(0.395) == Approx(0).margin(1e-9));
  // a quarter lost on drying lets a quarter of the crown come back
  const HeightCurve dried = covering_coat(bare, 0.3, 1e-3, 0.2e-3, 0.25);
  CHECK(*std::max_element(dried.height.begin(), dried.height.end()) == Approx(0.25 * top + 0.75 * (top - 0.8e-3)).margin(1e-6));
  // 3 mm bury it all, hollows as well
  CHECK(covering_coat(bare, 0.3, 3e-3, 0.2e-3, 0).steepest() == 0);
}
