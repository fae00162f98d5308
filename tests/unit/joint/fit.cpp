// A measured cross-section: reading its file, and how well the fit stands for the joint.
#include <cmath>

#include <catch2/catch.hpp>
#include <fmt/format.h>

#include "base/random.h"
#include "base/units.h"
#include "joint/fit.h"
#include "support/validated.h"

using namespace rakelight;
using Approx = Catch::Detail::Approx;

namespace {

Section everyday_butt() { return typical_section(JointKind::butt, *scheme("c840")->find("4"), *workmanship("everyday")); }

/// Readings every `spacing` from feather to feather, each out by `noise`, over a datum that is tilted.
MeasuredPoints readings(const Section& s, double spacing, double noise, std::uint64_t seed) {
  Random random(seed);
  MeasuredPoints p;
  for (double u = s.left; u <= s.right + 1e-9; u += spacing) {
    p.offset.push_back(u);
    p.height.push_back(s.height_at(u) + noise * random.normal() + 0.4e-3 + 2e-3 * u);
  }
  return p;
}

std::string complaint(const std::string& text) {
  Diagnostics diagnostics;
  CHECK_FALSE(read_measured(text, diagnostics));
  return diagnostics.to_text("b1.csv", text);
}

}  // namespace

TEST_CASE("a measured file is read, and what is wrong with it is said where it is") {
  Diagnostics diagnostics;
  const auto p = read_measured("# long/B1\n\noffset_mm,height_mm\n-30,0\n-20, 0.1\r\n-10,0.2\n0,+0.3\n10,0.2\n20,0.1\n30,0\n", diagnostics);
  REQUIRE(p);
  CHECK(p->offset.size() == 7);
  CHECK(p->offset[1] == Approx(-0.020));
  CHECK(p->height[3] == Approx(0.3e-3));
  const std::string head = "offset_mm,height_mm\n", tail = "-20,0\n-10,0\n0,1\n10,0\n20,0\n30,0\n";
  CHECK(complaint("x,y\n" + tail).find("b1.csv:1:1: error: the file does not start with its heading") != std::string::npos);
  CHECK(complaint("offset_mm;height_mm\n" + tail).find("b1.csv:1:1:") != std::string::npos);
  CHECK(complaint(head + "-30,0\nnought,0\n" + tail).find("b1.csv:3:1: error: this line is not two numbers") != std::string::npos);
  CHECK(complaint(head + "-30,0,0\n" + tail).find("b1.csv:2:1: error: this line is not two numbers") != std::string::npos);
  CHECK(complaint(head + "-30\n" + tail).find("b1.csv:2:1:") != std::string::npos);
  CHECK(complaint(head + "-20,0\n" + tail).find("b1.csv:3:1: error: offset -20 does not lie right of the one before, -20") != std::string::npos);
  CHECK(complaint(head + "-30,60\n" + tail).find("a height of 60 mm is none of a joint's") != std::string::npos);
  CHECK(complaint(head + tail + "4000,0\n").find("b1.csv:8:1: error: the points reach over more than 3 m") != std::string::npos);
  CHECK(complaint(head + "0,0\n").find("1 point is too few") != std::string::npos);
  CHECK(complaint(head + "0,nan\n" + tail).find("b1.csv:2:1:") != std::string::npos);
  // a step of 1e-200 mm would be divided by; of 0.01 mm it may be
  CHECK(complaint(head + "-20.005,0\n" + tail).find("b1.csv:3:1: error: offset -20 lies too near the one before, -20.005") != std::string::npos);
  CHECK(complaint(head + "-20,0\n-10,0\n0,1\n1e-200,1\n10,0\n20,0\n30,0\n").find("b1.csv:5:1: error: offset") != std::string::npos);
  Diagnostics fine;
  CHECK(read_measured(head + "-20.01,0\n" + tail, fine));
  // offset 0 is the joint's line
  CHECK(complaint(head + "0,0\n10,0\n20,0\n30,1\n40,0\n50,0\n60,0\n").find("b1.csv:2:1: error: no point lies left of the joint") != std::string::npos);
  CHECK(complaint(head + "-60,0\n-50,0\n-40,0\n-30,1\n-20,0\n-10,0\n0,0\n").find("b1.csv:8:1: error: no point lies right of the joint") != std::string::npos);
  CHECK(complaint(head + "-30,+-5\n" + tail).find("b1.csv:2:1: error: this line is not two numbers") != std::string::npos);
  complaint("");
}

TEST_CASE("straight readings are a straight face, and clean readings come back") {
  MeasuredPoints line;
  for (int i = 0; i < 12; ++i) {
    line.offset.push_back(0.01 * i);
    line.height.push_back(1e-3 + 2e-3 * 0.01 * i);
  }
  const FittedSection flat = fit_section(line);
  for (const double h : flat.face.height) CHECK(h == Approx(0).margin(1e-9));
  CHECK(flat.noise < 5e-6);
  CHECK(flat.points == 12);
  CHECK(flat.spacing == Approx(0.01));
  // a raised cosine read every 5 mm without error: the natural spline errs by h^4/384 of its fourth derivative,
  // (0.5 mm crown/2)(2 pi/300)^4 5^4/384: 1e-7 mm, and at its ends, where it is not straight, by some 1e-3 of the crown
  MeasuredPoints p;
  for (double u = -0.15; u < 0.1501; u += 0.005) {
    p.offset.push_back(u);
    p.height.push_back(0.25e-3 * (1 + std::cos(2 * pi * u / 0.3)));
  }
  const FittedSection fit = fit_section(p);
  CHECK(fit.crown == Approx(0.5e-3).epsilon(2e-3));
  for (double u = -0.14; u < 0.14; u += 0.0013) {
    CHECK(fit.face.height_at(u) == Approx(0.25e-3 * (1 + std::cos(2 * pi * u / 0.3))).margin(1e-6));
    CHECK(fit.face.slope_at(u) == Approx(-0.25e-3 * 2 * pi / 0.3 * std::sin(2 * pi * u / 0.3)).margin(1e-4));
  }
}

TEST_CASE("slopes are the derivative of heights, ends are the face") {
  const FittedSection fit = fit_section(readings(everyday_butt(), 0.005, 0.02e-3, 3));
  CHECK(fit.face.height.front() == 0);
  CHECK(fit.face.height.back() == 0);
  for (int i = 1; i + 1 < fit.face.size(); ++i)
    // a central difference of a cubic is off by step² / 6 of its third derivative, at most 4 /m² here
    CHECK(fit.face.slope[i] == Approx((fit.face.height[i + 1] - fit.face.height[i - 1]) / (2 * fit.face.step)).margin(3e-5));
  const Section s = section_of(fit);
  CHECK(s.left == Approx(everyday_butt().left));
  CHECK(s.right == Approx(everyday_butt().right).margin(0.005));
  CHECK(s.crown == fit.crown);
}

TEST_CASE("the fit's uncertainty is what readings scatter by") {
  test::Validated found("measured section: crowns within two of their standard deviations", "40 sets of readings out by 0.02 mm",
                        "34 of 40; nearer than the readings");
  const Section made = everyday_butt();
  // forty sets of readings, each out by 0.02 mm (a feeler's blade)
  int within = 0;
  double squares = 0, noise = 0;
  int count = 0;
  for (std::uint64_t seed = 1; seed <= 40; ++seed) {
    const FittedSection fit = fit_section(readings(made, 0.005, 0.02e-3, seed));
    within += std::abs(fit.crown - made.crown) < 2 * fit.crown_sd;
    noise += fit.noise / 40;
    for (double u = -0.2; u < 0.2; u += 0.01, ++count) squares += std::pow(fit.face.height_at(u) - made.height_at(u), 2);
  }
  INFO("within " << within << ", noise " << noise << ", rms " << std::sqrt(squares / count));
  // the crown lies within two standard deviations in 38.2 of 40 in the mean (95.45 %), with a standard deviation of 1.3: 34 is
  // three of those below
  found.says(fmt::format("{} of 40; {:.2g} mm", within, 1e3 * std::sqrt(squares / count)));
  CHECK(within >= 34);
  // readings tell their noise to 1.4 % of 40 x 100 / 2 degrees of freedom; laps 7 mm wide, which points 5 mm apart cannot
  // follow, count as noise
  CHECK(noise == Approx(0.02e-3).epsilon(0.05));
  // nearer to the joint than the readings are
  CHECK(std::sqrt(squares / count) < 0.02e-3);
  // many readings are gathered first: a thousand over the same joint
  const FittedSection dense = fit_section(readings(made, 0.5e-3, 0.02e-3, 5));
  CHECK(dense.points > 900);
  CHECK(dense.noise == Approx(0.02e-3).epsilon(0.33));
  CHECK(dense.crown == Approx(made.crown).margin(0.03e-3));
  // groups are even: of 301 readings 149 pairs and three, so that the ends are means as well
  MeasuredPoints many;
  for (int i = 0; i <= 300; ++i) {
    many.offset.push_back(1e-3 * (i - 150));
    many.height.push_back(0);
  }
  const FittedSection level = fit_section(many);
  CHECK(level.face.first == Approx(-149.5e-3));
  CHECK(level.face.offset(level.face.size() - 1) < 149.6e-3);
  // readings without error are good to 2 um, gathered or not
  CHECK(level.noise == Approx(2e-6));
  CHECK(fit_section({{-3e-3, -2e-3, -1e-3, 0, 1e-3, 2e-3, 3e-3}, {0, 0, 0, 0, 0, 0, 0}}).noise == Approx(2e-6));
}
