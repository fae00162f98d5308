// Embedded schemes and workmanship against the published limits and common practice.
#include <algorithm>
#include <string>

#include <catch2/catch.hpp>

#include "joint/make_up.h"
#include "support/validated.h"

using namespace rakelight;
using Approx = Catch::Detail::Approx;

TEST_CASE("the board and the tape keep to EN 520, ASTM C1396 and ASTM C475") {
  test::Validated found("board and tape", "EN 520, ASTM C1396, ASTM C475: ranges", "each");
  const MakeUp& m = make_up();
  // EN 520:2004+A1 4.9.2.5 (from memory): taper depth 0.6-2.5 mm, width 40-80 mm
  CHECK(m.taper_depth >= 0.0006);
  CHECK(m.taper_depth <= 0.0025);
  CHECK(m.taper_width >= 0.040);
  CHECK(m.taper_width + m.shoulder <= 0.080);
  // ASTM C1396 (from memory): average taper depth 0.020-0.090 in
  CHECK(m.taper_depth >= 0.020 * 0.0254);
  CHECK(m.taper_depth <= 0.090 * 0.0254);
  // ASTM C475-94: paper 1 7/8 to 2 1/4 in wide, at most 0.012 in thick
  const TapeMake& paper = m.tape(TapeSpec::paper);
  CHECK(2 * paper.half_width >= 1.875 * 0.0254);
  CHECK(2 * paper.half_width <= 2.25 * 0.0254);
  CHECK(paper.thickness <= 0.012 * 0.0254);
  // glass mesh about 50 wide, 0.15-0.30 thick (common practice, from memory)
  CHECK(m.tape(TapeSpec::mesh).thickness >= 0.00015);
  CHECK(m.tape(TapeSpec::mesh).thickness <= 0.00030);
  CHECK(m.tape(TapeSpec::none).thickness == 0);
  // ASTM C475-94 4.2.3: at most 35 % by volume; common practice: setting 1-5 %, all-purpose drying 20-30 %
  CHECK(m.drying_shrinkage <= 0.35);
  CHECK(m.drying_shrinkage >= 0.20);
  CHECK(m.drying_shrinkage <= 0.30);
  CHECK(m.setting_shrinkage >= 0.01);
  CHECK(m.setting_shrinkage <= 0.05);
  // common practice: 0.3-1.0 mm under the tape
  CHECK(paper.bed_least >= 0.0003);
  CHECK(paper.bed_most <= 0.0010);
  // lightweight drying compound 10-20 % (common practice)
  CHECK(m.lightweight_shrinkage >= 0.10);
  CHECK(m.lightweight_shrinkage <= 0.20);
  // dimple 0.5-1 deep, 6-8 in radius; spots 50, 75, 100 across; flanges 100, 150, 200-250; legs 50-100 (trade table 4.2)
  CHECK(m.dimple_depth >= 0.0005);
  CHECK(m.dimple_depth <= 0.0010);
  CHECK(m.dimple_radius >= 0.006);
  CHECK(m.dimple_radius <= 0.008);
  CHECK(m.fixing_widths == std::vector<double>{0.050, 0.075, 0.100});
  CHECK(m.bead_widths[0] == Approx(0.100));
  CHECK(m.bead_widths[1] == Approx(0.150));
  CHECK(m.bead_widths[2] >= 0.200);
  CHECK(m.bead_widths[2] <= 0.250);
  CHECK(m.corner_widths.front() >= 0.050);
  CHECK(m.corner_widths.back() <= 0.100);
}

TEST_CASE("levels 0 to 5 count coats as ASTM C840 does") {
  test::Validated found("coats of levels 0 to 5", "ASTM C840", "every level");
  auto s = scheme("c840");
  REQUIRE(s);
  CHECK_FALSE(s->source.empty());
  REQUIRE(s->levels.size() == 6);
  // ASTM C840: tape from level 1; separate coats over it 0, 0, 0 (level 2: one wiped thin), 1, 2, 2; a skim at 5
  const int coats[] = {0, 0, 0, 1, 2, 2};
  for (int i = 0; i < 6; ++i) {
    const Level* l = s->find(std::to_string(i));
    REQUIRE(l);
    CHECK(l == &s->levels[i]);
    CHECK(l->tape == (i >= 1));
    CHECK(l->coats == coats[i]);
    CHECK(l->wiped_coat == (i == 2));
    CHECK((l->skim > 0) == (i == 5));
    CHECK_FALSE(l->source.empty());
    CHECK_FALSE(l->use.empty());
  }
  CHECK_FALSE(s->find("6"));
  // a drawn film is 0.1-0.3 mm (engineering estimate)
  CHECK(s->find("5")->skim >= 0.0001);
  CHECK(s->find("5")->skim <= 0.0003);
}

TEST_CASE("coat widths are those of common practice") {
  const Level* four = nullptr;
  auto s = scheme("c840");
  four = s->find("4");
  // recessed, US: tape 100-150, fill 200-250, finish 300 mm (common practice, from memory)
  REQUIRE(four->recessed_widths.size() == 3);
  CHECK(four->recessed_widths[0] >= 0.100);
  CHECK(four->recessed_widths[0] <= 0.150);
  CHECK(four->recessed_widths[1] >= 0.200);
  CHECK(four->recessed_widths[1] <= 0.250);
  CHECK(four->recessed_widths[2] == Approx(0.300));
  // butt: finish about 18 in (457), good practice 500-600 mm (common practice)
  REQUIRE(four->butt_widths.size() == 3);
  CHECK(four->butt_widths[2] >= 0.457);
  CHECK(four->butt_widths[2] <= 0.600);
  for (const Level& l : s->levels)
    for (const auto* w : {&l.recessed_widths, &l.butt_widths})
      for (std::size_t k = 1; k < w->size(); ++k) CHECK((*w)[k] > (*w)[k - 1]);
}

TEST_CASE("workmanship lies in its band of common practice") {
  // engineering estimates: Good, Average, Poor (mm)
  struct Band { const char* name; double recessed[2], butt[2], lap[2], tape[2]; };
  for (const Band& b : {Band{"careful", {0, 0.3}, {0.8, 1.0}, {0, 0.05}, {0, 0.05}},
                        Band{"everyday", {0.3, 0.8}, {1.2, 2.0}, {0.1, 0.2}, {0.05, 0.1}},
                        Band{"rough", {1.0, 1.5}, {2.5, 3.5}, {0.3, 0.5}, {0.2, 0.3}}}) {
    auto w = workmanship(b.name);
    REQUIRE(w);
    auto inside = [](const Spread& s, const double (&band)[2]) { return s.mean >= band[0] * 1e-3 - 1e-12 && s.mean <= band[1] * 1e-3 + 1e-12 && s.sd > 0; };
    CHECK(inside(w->recessed_crown, b.recessed));
    CHECK(inside(w->butt_crown, b.butt));
    // two sandings leave a quarter of a ridge as the blade left it (workmanship.toml)
    CHECK(inside({4 * w->lap_ridge.mean, w->lap_ridge.sd}, b.lap));
    CHECK(inside(w->tape_edge, b.tape));
    CHECK(w->lap_width >= 0.002);  // ridges are 2-10 mm wide
    CHECK(w->lap_width <= 0.010);
    // EN 520 4.9: each board within 0.5 mm of its thickness, so a step from thickness alone is at most 1 mm
    CHECK(w->step.mean + w->step.sd <= 0.001);
  }
  CHECK(mean_figures(*workmanship("everyday"), JointKind::recessed).step == 0);
}

TEST_CASE("a careful butt is not under what bed, tape and cover add up to") {
  const MakeUp& m = make_up();
  const TapeMake& paper = m.tape(TapeSpec::paper);
  double least = paper.bed_least + paper.thickness + m.cover;
  CHECK(least == Approx(0.00072));
  CHECK(workmanship("careful")->butt_crown.mean > least);
  CHECK(paper.bed_most + paper.thickness + m.cover < workmanship("everyday")->butt_crown.mean);
}

TEST_CASE("angles, fixings and accessories are coated as ASTM C840 counts") {
  // ASTM C840/GA-214: interior angles tape, tape + 1 from level 2 on; fixings and accessories 0, 1, 2, 3, 3 coats from level 1
  auto s = scheme("c840");
  const int angles[] = {0, 1, 2, 2, 2, 2}, fixings[] = {0, 0, 1, 2, 3, 3}, flat[] = {0, 1, 2, 2, 3, 3};
  for (int i = 0; i < 6; ++i) {
    const Level& l = s->levels[i];
    CHECK(coats_on(l, JointKind::internal_corner) == angles[i]);
    CHECK(coats_on(l, JointKind::square_set) == angles[i]);
    CHECK(coats_on(l, JointKind::fixings) == fixings[i]);
    CHECK(coats_on(l, JointKind::external_corner) == fixings[i]);
    CHECK(coats_on(l, JointKind::butt) == flat[i]);  // the tape's bed and what follows it
    // and each is one stage of the section that is built
    for (JointKind kind : {JointKind::internal_corner, JointKind::fixings, JointKind::external_corner, JointKind::recessed, JointKind::butt}) {
      const Section x = typical_section(kind, l, *workmanship("everyday"));
      const auto worked = std::count_if(x.coat_names.begin(), x.coat_names.end(), [](const std::string& n) { return n != "sanded" && n != "skim"; });
      CHECK(worked == coats_on(l, kind));
    }
  }
}

TEST_CASE("unknown names are empty, not a default") {
  CHECK_FALSE(scheme("c841"));
  CHECK_FALSE(scheme(""));
  CHECK_FALSE(scheme("workmanship"));
  CHECK_FALSE(workmanship("tidy"));
  auto ids = scheme_ids();
  CHECK(std::find(ids.begin(), ids.end(), "c840") != ids.end());
  CHECK(std::find(ids.begin(), ids.end(), "workmanship") == ids.end());
}

TEST_CASE("a coat without its own compound takes the last named") {
  CHECK(shrinkage_of_coat({"setting", "drying"}, 0) == Approx(0.03));
  CHECK(shrinkage_of_coat({"setting", "drying"}, 1) == Approx(0.25));
  CHECK(shrinkage_of_coat({"setting", "drying"}, 5) == Approx(0.25));
  CHECK(shrinkage_of_coat({"setting"}, 2) == Approx(0.03));
}
