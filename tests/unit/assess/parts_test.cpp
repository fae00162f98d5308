// The parts of assess that need no room: straightedge, chances, angular scale.
#include <catch2/catch.hpp>

#include <algorithm>
#include <cmath>
#include <functional>

#include "assess/angle.h"
#include "assess/assess.h"
#include "assess/hands.h"
#include "base/quadrature.h"
#include "base/random.h"
#include "base/units.h"

using namespace rakelight;

namespace {

Section section_of(double half, double step, const std::function<double(double)>& h) {
  Section s;
  s.first = -half;
  s.step = step;
  const int n = static_cast<int>(std::lround(2 * half / step)) + 1;
  for (int i = 0; i < n; ++i) {
    const double u = -half + i * step;
    s.height.push_back(h(u));
    s.slope.push_back((h(u + 1e-7) - h(u - 1e-7)) / 2e-7);
  }
  s.left = -half;
  s.right = half;
  return s;
}

Section raised_cosine(double crown, double width) {
  return section_of(width / 2, 0.5e-3, [=](double u) {
    return std::abs(u) >= width / 2 ? 0.0 : 0.5 * crown * (1 + std::cos(2 * pi * u / width));
  });
}

}  // namespace

TEST_CASE("a straightedge on known joints") {
  // physics 1.4: a crown of 1.0 mm over 560 mm reads 0.9 under 450 balanced: 1.0 − ½(1 + cos(π·225/280)) = 0.908;
  // 1.4 over 900 reads 0.7, because the rule never reaches the board: 1.4·(1 − ½) = 0.70
  CHECK(straightedge_gap(raised_cosine(1.0e-3, 0.560), 0.450) == Approx(0.908e-3).margin(2e-6));
  CHECK(straightedge_gap(raised_cosine(1.4e-3, 0.900), 0.450) == Approx(0.700e-3).margin(2e-6));
  // a rule longer than the joint reads the whole crown, or bridges the whole hollow
  CHECK(straightedge_gap(raised_cosine(1.0e-3, 0.200), 0.400) == Approx(1.0e-3).margin(2e-6));
  CHECK(straightedge_gap(raised_cosine(-1.0e-3, 0.200), 0.400) == Approx(1.0e-3).margin(2e-6));
  // a tent read at its apex: 1 mm over 275 mm a side falls 100/275 mm in half a 200 mm rule. The rule is compared every
  // 2 mm, so its feet may be 1 mm off: 0.004 mm
  const auto tent = section_of(0.275, 0.5e-3, [](double u) { return std::max(0.0, 1e-3 * (1 - std::abs(u) / 0.275)); });
  CHECK(straightedge_gap(tent, 0.200) == Approx(0.1e-3 / 0.275).margin(6e-6));
  CHECK(straightedge_gap(Section{}, 0.2) == 0.0);
}

TEST_CASE("straightedge limits say yes and no") {
  const auto ok = [](const Section& s, const std::string& start) {
    for (const auto& r : read_straightedge(s))
      if (r.limit.starts_with(start)) return r.ok;
    FAIL("no limit " << start);
    return false;
  };
  // docs/reference/trade.md 2.1: 1 mm under 200 (NF DTU 25.41), under 1.0 mm under 400 (NL), 3 mm under 450 (UK)
  const auto deep = raised_cosine(1.2e-3, 0.180), exact = raised_cosine(1.0e-3, 0.180);
  CHECK_FALSE(ok(deep, "NF DTU"));
  CHECK(ok(deep, "BBRI, normal"));
  CHECK_FALSE(ok(deep, "BBRI, special"));
  CHECK(ok(deep, "BS 8212"));
  CHECK(ok(exact, "NF DTU"));      // at most 1 mm
  CHECK_FALSE(ok(exact, "NL"));    // less than 1 mm
  CHECK(read_straightedge(deep).size() == 7);
}

TEST_CASE("the straightedge against a plain search on random sections") {
  Random random(7);
  for (int round = 0; round < 20; ++round) {
    double a[4];
    for (double& x : a) x = random.uniform(-1e-3, 1e-3);
    const double half = 0.001 * std::floor(random.uniform(100, 300));
    const auto s = section_of(half, 1e-3, [&](double u) {
      const double t = u / half;
      return std::abs(t) >= 1 ? 0.0 : (1 - t * t) * (1 - t * t) * (a[0] + a[1] * t + a[2] * std::cos(6 * t) + a[3] * std::sin(9 * t));
    });
    const double base = 0.001 * std::floor(random.uniform(100, 450));
    // every half millimetre of position and of rule: lift a line through both ends until it clears the face
    double gap = 0;
    for (double from = -half - base; from <= half; from += 0.5e-3) {
      const double h0 = s.height_at(from), h1 = s.height_at(from + base);
      double lift = 0, lowest = 0;
      for (double x = 0; x <= base; x += 0.5e-3) {
        const double over = s.height_at(from + x) - (h0 + (h1 - h0) * x / base);
        lift = std::max(lift, over);
        lowest = std::max(lowest, -over);
      }
      gap = std::max(gap, lift + lowest);
    }
    // smooth shapes with slopes below 40 mrad, read every 2 mm
    CHECK(straightedge_gap(s, base) == Approx(gap).margin(0.02e-3));
  }
}

TEST_CASE("chances from spread and gain") {
  const GainSpread known{1, 1}, twofold{1, 2};
  CHECK(chance_over({1, 2, 5, 8}, known, 4) == Approx(0.5));
  CHECK(chance_over({4}, twofold, 4) == Approx(0.5));
  // the upper end of the band is two standard deviations off: Pr(N > 2) = 0.02275 (any table of the normal)
  CHECK(chance_over({2}, twofold, 4) == Approx(0.02275).epsilon(1e-3));
  CHECK(chance_over({2}, {2, 2}, 4) == Approx(0.5));
  CHECK(chance_over({}, twofold, 4) == 0.0);
  CHECK(chance_over({0}, twofold, 4) == 0.0);

  const std::vector<double> one{1, 2, 5, 8};
  CHECK(chance_any_over({&one, &one}, known, 4) == Approx(0.75));  // 1 − ½·½: independent hands
  const std::vector<double> sure{4};
  // alike in everything but the one pair of eyes: the second joint adds nothing
  CHECK(chance_any_over({&sure, &sure}, twofold, 4) == Approx(0.5).margin(0.01));
  CHECK(chance_any_over({&one}, twofold, 4) == Approx(chance_over(one, twofold, 4)));
  CHECK(chance_any_over({}, twofold, 4) == 0.0);
  // forty joints at 5 % each make 87 % (1 − 0.95^40 = 0.8715) when the gain is known
  std::vector<double> rare(20, 1.0);
  rare.back() = 5;
  CHECK(chance_any_over(std::vector<const std::vector<double>*>(40, &rare), known, 4) == Approx(0.8715).epsilon(1e-3));
  // between the largest and the sum
  const double p = chance_over(one, twofold, 4), any = chance_any_over({&one, &one, &one}, twofold, 4);
  CHECK(any > p);
  CHECK(any < 3 * p);
}

TEST_CASE("the angular scale of a section") {
  Frame wall;  // n = +z, the joint along y
  JointLine upright;
  upright.from = {0, 0};
  upright.to = {0, 2};
  ContrastProfile p;
  p.station = 1;
  for (int i = -100; i <= 100; ++i) {
    p.offset.push_back(i * 1e-3);
    p.contrast.push_back(0.02);
  }
  const double step = 1.0 / 256;
  const auto span = [&](const JointLine& line, dvec3 eye) {
    return static_cast<double>(angular_pattern(p, line, wall, eye, step).contrast.size()) * step;
  };
  // square on at 2 m: 201 mm spans 2·atan(0.1005/2) = 5.753°; one cell is 0.004°
  CHECK(span(upright, {0, 1, 2}) == Approx(5.753).margin(0.006));
  // an upright joint seen along the wall narrows by the sine of the viewing angle: eye 3 m to the side, 1 m off:
  // d = √10, n·v/d = 0.1 rad/m, near enough 0.0201 rad = 1.152° (the exact angle between the feather edges: 1.1521°)
  const double exact = angle_between({-0.1005, 1, 0}, {0.1005, 1, 0}, {3, 1, 1}) * deg_per_rad;
  CHECK(span(upright, {3, 1, 1}) == Approx(exact).margin(0.006));
  // a horizontal joint at eye height keeps its scale when seen along the wall: across it only the distance counts.
  // 0.4 m off the wall and 2 m along: physics 4 gives 0.98 and not 0.20 of square-on at the same distance
  JointLine level;
  level.from = {-3, 1};
  level.to = {3, 1};
  p.station = 3;
  const double square = span(level, {0, 1, std::hypot(2, 0.4)});
  const double slant = span(level, {2, 1, 0.4});
  CHECK(slant / square == Approx(1.0).margin(0.02));
  // the lines of the joint converge towards where they vanish, so square to them it is 1 % less than from point to point
  CHECK(slant == Approx(angle_between({0, 0.8995, 0}, {0, 1.1005, 0}, {2, 1, 0.4}) * deg_per_rad).epsilon(0.015));
}

TEST_CASE("contrast is neither lost nor made when it turns into angle") {
  Frame wall;
  JointLine line;
  line.to = {0, 2};
  ContrastProfile p;
  p.station = 1;
  Random random(3);
  double area = 0;
  for (int i = -300; i <= 300; ++i) {
    p.offset.push_back(i * 1e-3);
    p.contrast.push_back(random.uniform(-0.05, 0.05));
    const double u = i * 1e-3;
    area += p.contrast.back() * 2 * 1e-3 / (4 + u * u) * deg_per_rad;  // dθ = D du / (D² + u²)
  }
  const auto pattern = angular_pattern(p, line, wall, {0, 1, 2}, 1.0 / 64);
  double sum = 0;
  for (double c : pattern.contrast) sum += c / 64;
  CHECK(sum == Approx(area).margin(1e-9));
}

TEST_CASE("the spread of hands against plain sampling") {
  AngularPattern pattern;
  pattern.degrees_per_sample = 1.0 / 64;
  pattern.luminance = 40;
  pattern.share = 0.9;
  for (int i = 0; i < 512; ++i) {
    const double x = (i - 256) / 256.0, lap = std::exp(-0.5 * std::pow((x - 0.4) / 0.02, 2));
    pattern.contrast.push_back(-0.03 * std::sin(pi * x) - 0.01 * lap);
    pattern.change[0].push_back(-0.03 / 1.4e-3 * std::sin(pi * x));
    pattern.change[1].push_back(-0.01 / 0.15e-3 * lap);
    pattern.change[2].push_back(15 * std::exp(-0.5 * std::pow(x / 0.02, 2)));
    pattern.change[3].push_back(0.0);
  }
  PlacedJoint joint;
  joint.figures = {1.4e-3, 0.15e-3, 0, 0.075e-3, 0.005};
  joint.sd = {0.3e-3, 0.05e-3, 0.3e-3, 0.02e-3};
  const auto spread = workmanship_spread(pattern, joint);
  REQUIRE(spread.size() == 32);
  CHECK(std::is_sorted(spread.begin(), spread.end()));
  Random random(11);
  std::vector<double> sampled;
  for (int i = 0; i < 2000; ++i) {
    std::array<double, 4> d{};
    for (std::size_t f = 0; f < 4; ++f) d[f] = joint.sd[f] * random.normal();
    d[1] = std::max(d[1], -joint.figures.lap_ridge);
    d[3] = std::max(d[3], -joint.figures.tape_edge);
    sampled.push_back(pattern_visibility(pattern, d));
  }
  const GainSpread gain{1, 2};
  for (double limit : {1.0, 2.0, 3.0, 4.0, 6.0})
    // 2000 draws leave 0.011, 32 sets smoothed by the gain about as much
    CHECK(chance_over(spread, gain, limit) == Approx(chance_over(sampled, gain, limit)).margin(0.025));
  // no spread in the hands: one value
  joint.sd = {};
  const auto same = workmanship_spread(pattern, joint);
  CHECK(same.front() == Approx(same.back()));
}
