// Workmanship read off measured sections.
#include <cmath>

#include <catch2/catch.hpp>

#include "base/random.h"
#include "joint/measured.h"
#include "support/validated.h"

using namespace rakelight;
using Approx = Catch::Detail::Approx;

namespace {

HeightCurve curve_of(const Section& s) {
  HeightCurve c;
  c.first = s.first;
  c.step = s.step;
  c.height = s.height;
  c.slope = s.slope;
  return c;
}

}  // namespace

TEST_CASE("figures read off one section are those that it was made with") {
  Recipe recipe;
  recipe.kind = JointKind::butt;
  recipe.level = *scheme("c840")->find("4");
  recipe.compound = {"setting", "setting", "drying"};
  recipe.tools = {0.15, 0.2, 0.3};
  for (const double crown : {0.9e-3, 1.4e-3, 2.2e-3})
    for (const double lap : {0.03e-3, 0.06e-3, 0.12e-3}) {
      const SectionFigures made{crown, lap, 0, 0.05e-3, 0.007};
      const SectionFigures read = read_figures(curve_of(make_section(recipe, made)));
      CHECK(read.crown == Approx(crown).margin(1e-6));
      // where pulls meet, the surface bends under a block's length as well: a third of a small ridge, or 0.03 mm
      CHECK(read.lap_ridge == Approx(lap).margin(0.03e-3));
      CHECK(read.tape_edge == Approx(0.05e-3).margin(0.03e-3));
    }
  CHECK(read_figures(HeightCurve()).crown == 0);
}

TEST_CASE("workmanship is learnt from what was measured") {
  const Workmanship everyday = *workmanship("everyday");
  MeasuredSpec m;
  CHECK(learnt(everyday, m).butt_crown.mean == everyday.butt_crown.mean);
  // ten crowns: the mean as measured, the spread pooled with four joints of the base
  m.butt_crown = std::vector<double>{1.0e-3, 1.1e-3, 1.2e-3, 0.9e-3, 1.0e-3, 1.05e-3, 0.95e-3, 1.0e-3, 1.1e-3, 0.9e-3};
  const Workmanship w = learnt(everyday, m);
  CHECK(w.butt_crown.mean == Approx(1.02e-3));
  double squares = 0;
  for (const double x : *m.butt_crown) squares += (x - 1.02e-3) * (x - 1.02e-3);
  CHECK(w.butt_crown.sd == Approx(std::sqrt((4 * everyday.butt_crown.sd * everyday.butt_crown.sd + squares) / 13)));
  CHECK(w.butt_crown.sd < everyday.butt_crown.sd);
  CHECK(w.recessed_crown.mean == everyday.recessed_crown.mean);
  // one measured joint tells the mean and nothing of the spread
  m.butt_crown = std::vector<double>{1.0e-3};
  CHECK(learnt(everyday, m).butt_crown.sd == Approx(everyday.butt_crown.sd));
}

TEST_CASE("a set of measured sections gives back the hands that made it") {
  test::Validated found("workmanship learnt from 40 measured sections: mean", "known hands", "3 standard errors", " standard errors");
  const Workmanship careful = *workmanship("careful"), everyday = *workmanship("everyday");
  Recipe recipe;
  recipe.kind = JointKind::butt;
  recipe.level = *scheme("c840")->find("4");
  recipe.compound = {"setting", "setting", "drying"};
  recipe.tools = {0.15, 0.2, 0.3};
  Random random(21);
  std::vector<MeasuredSection> sections;
  constexpr int count = 40;
  for (int i = 0; i < count; ++i) {
    SectionFigures f = mean_figures(careful, JointKind::butt);
    f.crown += careful.butt_crown.sd * random.normal();
    f.step = 0;
    sections.push_back({JointKind::butt, curve_of(make_section(recipe, f))});
  }
  const Workmanship w = learnt(everyday, figures_of(sections));
  // the mean of forty lies within three of its own standard errors of the truth; the base's wider spread counts for 4 of 44
  found.off((w.butt_crown.mean - careful.butt_crown.mean) / (careful.butt_crown.sd / std::sqrt(count)));
  CHECK(w.butt_crown.mean == Approx(careful.butt_crown.mean).margin(3 * careful.butt_crown.sd / std::sqrt(count)));
  CHECK(w.butt_crown.sd > 0.7 * careful.butt_crown.sd);
  CHECK(w.butt_crown.sd < 0.6 * everyday.butt_crown.sd);
  CHECK(w.recessed_crown.mean == everyday.recessed_crown.mean);  // none was measured
}
