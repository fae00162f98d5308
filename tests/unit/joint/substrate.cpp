// The face over uneven framing, and joints that peak.
#include <cmath>

#include <catch2/catch.hpp>

#include "base/random.h"
#include "joint/dates.h"
#include "joint/joint.h"
#include "joint/substrate.h"
#include "support/validated.h"

using namespace rakelight;
using Approx = Catch::Detail::Approx;

namespace {

Surface wall() {
  Surface s;
  s.name = "long";
  s.spec = 0;
  s.box = {{0, 0}, {6.2, 2.65}};
  return s;
}

Job framed(double gap, double base) {
  Job job;
  job.framing.at = {0, 9};
  job.framing.spacing = 0.6;
  job.framing.direction = std::string("upright");
  job.framing.flatness = dvec2(gap, base);
  return job;
}

}  // namespace

TEST_CASE("one proud stud") {
  test::Validated found("framing: slopes beside one proud stud", "natural spline's closed form", "0.2 %", " %", 100);
  // a member 3.2 mm (1/8 in) proud among straight ones at 600: from one to the next the face falls 3.2/600 = 5.3 mrad in the
  // mean. A beam over it, the cardinal natural spline: its slope at the neighbours is −0.80/spacing times the height (m1 of
  // m(k−1) + 4 m(k) + m(k+1) = 3 (v(k+1) − v(k−1)), which far from the ends is −3/(2 + √3)), and half way
  // −1.5 + 0.25·0.804 = −1.30/spacing; steepest −1.344/spacing where −6 + 12 t − 0.804 (6 t − 2) = 0, t = 0.61
  const Substrate s = proud_member(3.2e-3, 0.6, 13);
  const double at = 6 * 0.6, steep = 3.2e-3 / 0.6;
  CHECK(substrate_at(s, {at, 1}).h == Approx(3.2e-3));
  CHECK(std::abs(substrate_at(s, {at, 1}).slope.x) < 1e-12);
  CHECK(found.share(substrate_at(s, {at + 0.6, 1}).slope.x, -3 / (2 + std::sqrt(3.0)) * steep) == Approx(-3 / (2 + std::sqrt(3.0)) * steep).epsilon(1e-3));
  CHECK(found.share(substrate_at(s, {at + 0.3, 1}).slope.x, (-1.5 + 0.25 * 3 / (2 + std::sqrt(3.0))) * steep) == Approx((-1.5 + 0.25 * 3 / (2 + std::sqrt(3.0))) * steep).epsilon(1e-3));
  CHECK(found.share(steepest(s), 1.344 * steep) == Approx(1.344 * steep).epsilon(2e-3));
  // neighbours stay where they are, and past them the sheet dips by less each bay (λ = √3 − 2)
  CHECK(std::abs(substrate_at(s, {at + 0.6, 1}).h) < 1e-12);
  CHECK(substrate_at(s, {at + 0.9, 1}).h < 0);
  // read with a 1200 rule from neighbour to neighbour it stands 3.2 off, balanced
  CHECK(flatness_gap(s, 1.2) > 0);
}

TEST_CASE("slopes are those of the heights, and continuous") {
  test::Validated found("framing: slopes", "differences of the heights at 500 points", "1e-8");
  const auto made = make_substrate(framed(0.004, 1.8), wall(), Run::horizontal);
  REQUIRE(made);
  Substrate s = *made;
  s.sag = 0.001;
  Random random(5);
  for (int i = 0; i < 500; ++i) {
    const dvec2 p{random.uniform(0.01, 6.19), random.uniform(0.01, 2.64)};
    const double d = 1e-5;
    const SubstratePoint at = substrate_at(s, p);
    // third differences of a cubic over 600 mm are below 1e-9 of slope there
    CHECK(found.near(at.slope.x, (substrate_at(s, p + dvec2(d, 0)).h - substrate_at(s, p - dvec2(d, 0)).h) / (2 * d)) == Approx((substrate_at(s, p + dvec2(d, 0)).h - substrate_at(s, p - dvec2(d, 0)).h) / (2 * d)).margin(1e-8));
    CHECK(found.near(at.slope.y, (substrate_at(s, p + dvec2(0, d)).h - substrate_at(s, p - dvec2(0, d)).h) / (2 * d)) == Approx((substrate_at(s, p + dvec2(0, d)).h - substrate_at(s, p - dvec2(0, d)).h) / (2 * d)).margin(1e-8));
  }
  for (std::size_t k = 1; k + 1 < s.members.size(); ++k) {
    const double x = 0.6 * static_cast<double>(k);
    CHECK(glm::length(substrate_at(s, {x - 1e-9, 1}).slope - substrate_at(s, {x + 1e-9, 1}).slope) < 1e-8);
  }
  // a sheet sags by `sag` half way between two members
  Substrate flat = proud_member(0, 0.6, 5);
  flat.sag = 0.002;
  CHECK(substrate_at(flat, {0.3, 1}).h == Approx(-0.002));
  CHECK(std::abs(substrate_at(flat, {0.6, 1}).slope.x) < 1e-12);
}

TEST_CASE("framing keeps to the job's flatness and no better") {
  test::Validated found("framing: gap under the job's own rule", "the job's flatness, three of them", "1e-6");
  for (const dvec2 flatness : {dvec2(0.004, 1.8), dvec2(0.003, 2.0), dvec2(0.005, 2.0)}) {
    const auto s = make_substrate(framed(flatness.x, flatness.y), wall(), Run::horizontal);
    REQUIRE(s);
    CHECK(found.share(flatness_gap(*s, flatness.y), flatness.x) == Approx(flatness.x).epsilon(1e-6));
    // 4 mm in 1.8 m is 7 mrad as a raised cosine (π·4/1800); uneven members put the same gap into shorter waves, so it is
    // steeper, but not by more than four times
    const double cosine = 3.14159 * flatness.x / flatness.y;
    CHECK(steepest(*s) > 0.7 * cosine);
    CHECK(steepest(*s) < 4 * cosine);
  }
  // the same draw each time, another for another wall
  const auto a = make_substrate(framed(0.004, 1.8), wall(), Run::horizontal), b = make_substrate(framed(0.004, 1.8), wall(), Run::upright);
  CHECK(a->members[3].off == b->members[3].off);
  Surface other = wall();
  other.name = "party";
  CHECK(make_substrate(framed(0.004, 1.8), other, Run::horizontal)->members[3].off != a->members[3].off);
  // no [framing], no substrate; on a ceiling members lie across the sheets
  CHECK_FALSE(make_substrate(Job(), wall(), Run::horizontal));
  other.kind = Surface::Kind::ceiling;
  CHECK(make_substrate(framed(0.004, 1.8), other, Run::horizontal)->upright);
  CHECK_FALSE(make_substrate(framed(0.004, 1.8), other, Run::upright)->upright);
}

TEST_CASE("the relief lies on the substrate") {
  Relief relief;
  relief.substrate = proud_member(3.2e-3, 0.6, 5);
  const dvec2 p{1.0, 1.2};
  CHECK(relief_at(relief, p).h == substrate_at(*relief.substrate, p).h);
  CHECK(relief_at(relief, p).slope == substrate_at(*relief.substrate, p).slope);
}

TEST_CASE("a joint that peaks") {
  const Season& s = season();
  // docs/reference/trade.md 4.3 and 1.3: 0.2-0.5 mm, bad 0.5-2
  CHECK(s.peaking.usual >= 0.2e-3);
  CHECK(s.peaking.usual <= 0.5e-3);
  CHECK(s.peaking.bad >= 0.5e-3);
  CHECK(s.peaking.bad <= 2e-3);
  // 1.3: pops 0.5-2 mm over 8-15 mm
  CHECK(s.pops.usual == Approx(0.5e-3));
  CHECK(s.pops.bad == Approx(2e-3));
  CHECK(s.pop_width >= 8e-3);
  CHECK(s.pop_width <= 15e-3);
  CHECK(s.peak_width <= 0.050);  // within the tape
  for (const Movement* m : {&s.peaking, &s.pops, &s.sag, &s.truss_lift}) {
    CHECK_FALSE(m->text.empty());
    CHECK_FALSE(m->ground.source.empty());
  }
  Section flat;
  flat.first = -0.1;
  flat.step = 0.5e-3;
  flat.height = flat.slope = std::vector<double>(401, 0.0);
  const Section up = peaked(flat, 0.4e-3, 0.040);
  CHECK(up.height_at(0) == Approx(0.4e-3));
  CHECK(up.crown == Approx(0.4e-3));
  CHECK(up.height_at(0.0206) == 0);
  // flanks of a tent with its top rounded over a quarter: peak/(a − r/2) = 0.4/(20 − 2.5) = 22.9 mrad
  CHECK(up.slope_at(0.010) == Approx(-0.4 / 17.5).epsilon(1e-9));
  for (std::size_t i = 1; i + 1 < up.height.size(); ++i)
    if (std::abs(std::abs(up.first + up.step * static_cast<double>(i)) - 0.020) > 1e-3)
      // where the top's curvature k/r sets in, a central difference is off by a quarter of it a step: 5.7e-4
      CHECK(up.slope[i] == Approx((up.height[i + 1] - up.height[i - 1]) / (2 * up.step)).margin(6e-4));
  CHECK(peaked(flat, 0, 0.04).height == flat.height);
}

TEST_CASE("fixings pop one by one, joints peak, and a backed one peaks less") {
  Relief relief;
  for (const JointKind kind : {JointKind::recessed, JointKind::butt, JointKind::fixings, JointKind::fixings, JointKind::internal_corner}) {
    PlacedJoint& j = relief.joints.emplace_back();
    j.line.kind = kind;
    j.section.first = kind == JointKind::internal_corner ? 0 : -0.1;
    j.section.step = 0.5e-3;
    j.section.height = j.section.slope = std::vector<double>(401, 0.0);
  }
  relief.joints[2].line.spots = {0.3, 0.6};
  const Relief later = moved(relief, 0.4e-3, 0.5e-3, true);
  CHECK(later.joints[0].section.crown == Approx(season().backed_share * 0.4e-3));
  CHECK(later.joints[1].section.crown == Approx(0.4e-3));
  CHECK(later.joints[2].section.crown == Approx(0.5e-3));
  CHECK(later.joints[2].section.height_at(0.0065) == 0);  // a bump 12 mm wide
  CHECK(later.joints[3].section.crown == 0);              // a strip hides where its fixings are
  CHECK(later.joints[4].section.crown == 0);
}

TEST_CASE("a ceiling that sags between its members, and one that lifts from its edges") {
  Job job;
  job.framing.spacing = 0.6;
  Surface ceiling;
  ceiling.kind = Surface::Kind::ceiling;
  ceiling.box = {{0, 0}, {3.6, 4.8}};
  const Substrate sag = sagged(job, ceiling, Run::horizontal, 1e-3);
  CHECK(sag.upright);
  // heights are positive into the room: down. Half way between members, and none over them
  CHECK(substrate_at(sag, {0.3, 2}).h == Approx(1e-3));
  CHECK(substrate_at(sag, {0.6, 2}).h == Approx(0).margin(1e-12));
  // as the fourth power of the spacing (a beam under its own weight): (400/600)^4 = 0.1975
  job.framing.spacing = 0.4;
  CHECK(substrate_at(sagged(job, ceiling, Run::horizontal, 1e-3), {0.2, 2}).h == Approx(0.1975e-3).epsilon(1e-3));
  job.framing.spacing = 0.6;
  const Substrate lift = lifted(job, ceiling, Run::horizontal, 3e-3);
  CHECK(substrate_at(lift, {0, 2}).h == Approx(0).margin(1e-12));
  CHECK(substrate_at(lift, {1.8, 2}).h == Approx(-3e-3).epsilon(0.02));  // up; a spline's ripple is left at the third member
  // 3 mm over one spacing of 600 is 5 mm a metre in the mean
  CHECK(steepest(lift) > 5e-3);
  // walls hold the ceiling wherever they stand, also where bays of 600 do not come out even, and in a room of one bay
  ceiling.box = {{0, 0}, {3.7, 4.8}};
  const Substrate uneven = lifted(job, ceiling, Run::horizontal, 3e-3);
  CHECK(substrate_at(uneven, {0, 2}).h == Approx(0).margin(1e-12));
  CHECK(substrate_at(uneven, {3.7, 2}).h == Approx(0).margin(1e-12));
  CHECK(uneven.spacing <= 0.6);
  CHECK(substrate_at(uneven, {1.85, 2}).h == Approx(-3e-3).epsilon(0.02));
  ceiling.box = {{0.2, 0}, {0.7, 4.8}};
  const Substrate narrow = lifted(job, ceiling, Run::horizontal, 3e-3);
  CHECK(substrate_at(narrow, {0.2, 2}).h == Approx(0).margin(1e-12));
  CHECK(substrate_at(narrow, {0.45, 2}).h == Approx(-3e-3));
  CHECK(substrate_at(narrow, {0.7, 2}).h == Approx(0).margin(1e-12));
}
