// Finished sections: crowns, feathers, levels, sensitivities.
#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

#include <catch2/catch.hpp>

#include "joint/joint.h"
#include "joint/make_up.h"
#include "support/validated.h"
#include "unit/joint/levels.h"

using namespace rakelight;
using namespace rakelight::testing;
using Approx = Catch::Detail::Approx;

namespace {

const JointKind kinds[] = {JointKind::recessed, JointKind::butt};
const char* const works[] = {"careful", "everyday", "rough"};


Recipe recipe_of(JointKind kind, const std::string& id) {
  Recipe r;
  r.kind = kind;
  r.level = level(id);
  r.compound = {"setting", "setting", "drying"};
  r.tools = {0.150, 0.200, 0.300};
  return r;
}

double steepest(const Section& s) {
  double v = 0;
  for (double x : s.slope) v = std::max(v, std::abs(x));
  return v;
}

}  // namespace

TEST_CASE("worked joints finish at the crown asked for") {
  for (JointKind kind : kinds)
    for (const char* id : {"3", "4", "5"})
      for (double crown : {-0.0003, 0.0004, 0.0009, 0.0014, 0.0030}) {
        SectionFigures f{crown, 0.00004, kind == JointKind::butt ? 0.0002 : 0, 0.00002, 0.007};
        Section s = make_section(recipe_of(kind, id), f);
        INFO(id << " " << (kind == JointKind::butt ? "butt " : "recessed ") << crown * 1e3 << " mm");
        if (kind == JointKind::butt && crown < 0.00072) {
          // bed + tape + cover is the floor: the work leaves what it must
          CHECK(s.crown > 0.0005);
          CHECK(s.crown < 0.0010);
        } else {
          CHECK(s.crown == Approx(crown).margin(1e-6));
        }
      }
}

TEST_CASE("sections end level with the board") {
  for (JointKind kind : kinds)
    for (const char* work : works)
      for (const Level& l : levels()) {
        Section s = typical_section(kind, l, *workmanship(work));
        INFO(work << " level " << l.id);
        REQUIRE(s.height.size() == s.slope.size());
        REQUIRE(s.bare.size() == s.height.size());
        CHECK(s.step <= 0.0005);
        CHECK(s.first < s.left);
        CHECK(s.last() > s.right);
        CHECK(std::abs(s.height.front()) < 1e-12);
        CHECK(std::abs(s.height.back()) < 1e-12);
        CHECK(std::abs(s.slope.front()) < 1e-12);
        CHECK(std::abs(s.slope.back()) < 1e-12);
        if (l.skim == 0) {
          // outer laps stand two widths in: exp(-4 ln 2 x 4) = 1.5e-5 of the ridge (0.6 mm at most) is left there
          CHECK(std::abs(s.height_at(s.left)) < 1e-8);
          CHECK(std::abs(s.height_at(s.right)) < 1e-8);
        }
        CHECK(s.height_at(s.first - 1) == 0);
        CHECK(s.slope_at(s.last() + 1) == 0);
        for (double v : s.height) CHECK(std::isfinite(v));
        for (double v : s.slope) CHECK(std::isfinite(v));
      }
}

TEST_CASE("sampled slopes belong to the sampled heights") {
  for (JointKind kind : kinds)
    for (const Level& l : levels()) {
      Section s = typical_section(kind, l, *workmanship("everyday"));
      int off = 0;
      for (std::size_t i = 0; i + 1 < s.height.size(); ++i) {
        double mean = (s.height[i + 1] - s.height[i]) / s.step, trapezium = (s.slope[i] + s.slope[i + 1]) / 2;
        if (std::abs(mean - trapezium) > 0.0004) ++off;
      }
      INFO("level " << l.id);
      // only at breaks (feathers, apex, arris, tape edges, where a coat runs out) do they differ, at most by the
      // break itself over one sample; counted rather than bounded, since a break may fall anywhere in a sample
      CHECK(off <= 40);
    }
}

TEST_CASE("no coat lies below what it covers") {
  for (JointKind kind : kinds)
    for (const char* work : works)
      for (const char* id : {"1", "2", "3", "4"}) {
        Section s = typical_section(kind, level(id), *workmanship(work));
        SharedList<double> below = s.bare;
        for (std::size_t k = 0; k < s.coats.size(); ++k) {
          if (s.coat_names[k] == "sanded") break;
          for (std::size_t i = 0; i < s.height.size(); ++i) CHECK(s.coats[k][i] >= below[i] - 1e-12);
          below = s.coats[k];
        }
      }
}

TEST_CASE("each level is the work it names") {
  for (JointKind kind : kinds) {
    auto s = [&](const char* id) { return typical_section(kind, level(id), *workmanship("everyday")); };
    Section zero = s("0"), one = s("1"), two = s("2"), three = s("3"), four = s("4"), five = s("5");
    CHECK(zero.coats.empty());
    CHECK(zero.cover == 0);
    CHECK(zero.height == zero.bare);
    CHECK(one.coat_names == std::vector<std::string>{"bed and tape"});
    CHECK(two.coat_names == std::vector<std::string>{"bed and tape", "wiped coat"});
    CHECK(three.coat_names == std::vector<std::string>{"bed and tape", "coat 1", "sanded"});
    CHECK(four.coat_names == std::vector<std::string>{"bed and tape", "coat 1", "coat 2", "sanded"});
    CHECK(five.coat_names == std::vector<std::string>{"bed and tape", "coat 1", "coat 2", "sanded", "skim"});
    CHECK(four.cover == 1);
    // tape's own edge (0.22 mm over 2 mm) stands bare at level 1, wiped over at 2, filled from 3 on
    auto at_edge = [](const Section& x) {
      double v = 0;
      for (double u = 0.021; u < 0.027; u += 0.0002) v = std::max(v, std::abs(x.slope_at(u)));
      return v;
    };
    CHECK(at_edge(one) > 0.1);
    CHECK(at_edge(two) < at_edge(one) / 2);
    CHECK(at_edge(four) < at_edge(one) / 5);
    CHECK(steepest(five) < 0.5 * steepest(four));
    CHECK(five.crown == Approx(four.crown).margin(1e-6));
  }
  // a recess without compound is 1.3 mm deep; taped it is still a hollow
  CHECK(typical_section(JointKind::recessed, level("0"), *workmanship("everyday")).crown == Approx(-0.0013));
  CHECK(typical_section(JointKind::recessed, level("1"), *workmanship("everyday")).crown < -0.0003);
}

TEST_CASE("orders of magnitude of common practice") {
  test::Validated found("crown and width of an everyday butt, crown of a careful recessed joint", "common practice",
                        "1e-6 m, width 1 mm", " mm", 1000);
  Section butt = typical_section(JointKind::butt, level("4"), *workmanship("everyday"));
  CHECK(found.near(butt.crown, 0.0014) == Approx(0.0014).margin(1e-6));
  CHECK(butt.width() == Approx(0.5).margin(0.001));
  // laps reach 35-70 mrad in poor work; what sanding leaves of them in everyday work is no steeper than flank and tape edge
  // (0.04 mm over 7 mm: 8 mrad, flank 9, tape edge 0.05 mm over 7 mm: 11)
  CHECK(steepest(butt) > 0.010);
  CHECK(steepest(butt) < 0.025);
  Section rough = typical_section(JointKind::butt, level("4"), *workmanship("rough"));
  CHECK(steepest(rough) > 0.035);
  CHECK(steepest(rough) < 0.075);
  Section careful = typical_section(JointKind::recessed, level("4"), *workmanship("careful"));
  CHECK(found.near(careful.crown, 0.00015) == Approx(0.00015).margin(1e-6));
  CHECK(steepest(careful) < 0.010);
}

TEST_CASE("feathers stop where the room does") {
  for (JointKind kind : kinds)
    for (const char* id : {"0", "1", "2", "3", "4", "5"}) {
      Recipe r = recipe_of(kind, id);
      r.room_left = 0.045;
      r.room_right = 0.120;
      Section s = make_section(r, mean_figures(*workmanship("everyday"), kind));
      INFO("level " << id);
      CHECK(s.left >= -0.045 - 1e-9);
      CHECK(s.right <= 0.120 + 1e-9);
      for (double v : s.height) CHECK(std::isfinite(v));
      if (id[0] >= '3') CHECK(s.crown == Approx(mean_figures(*workmanship("everyday"), kind).crown).margin(1e-6));
    }
  for (double room : {0.0, 0.001, 0.004}) {  // no room at all is still a section
    Recipe r = recipe_of(JointKind::butt, "4");
    r.room_left = r.room_right = room;
    Section s = make_section(r, mean_figures(*workmanship("everyday"), JointKind::butt));
    for (double v : s.slope) CHECK(std::isfinite(v));
  }
}

TEST_CASE("a joint's own width scales its coats") {
  for (JointKind kind : kinds)
    for (double width : {0.1, 0.2, 0.4, 0.56, 0.9}) {
      Recipe r = recipe_of(kind, "4");
      r.width = width;
      Section s = make_section(r, mean_figures(*workmanship("everyday"), kind));
      if (width >= 0.15) CHECK(s.width() == Approx(width).margin(0.0011));  // whole samples
      CHECK(s.crown == Approx(mean_figures(*workmanship("everyday"), kind).crown).margin(1e-6));
    }
}

TEST_CASE("wider is flatter at constant crown") {
  for (JointKind kind : kinds) {
    // without laps and tape edge the flank alone: close to 1 / width
    double before = 1, lapped = 1;
    for (double width : {0.15, 0.2, 0.25, 0.3, 0.4, 0.5, 0.6, 0.75, 0.9}) {
      Recipe r = recipe_of(kind, "4");
      r.width = width;
      r.tools = {1.0};  // the same pulls whatever the width: the same shape
      double crown = mean_figures(*workmanship("everyday"), kind).crown;
      double flank = steepest(make_section(r, {crown, 0, 0, 0, 0.007}));
      double whole = steepest(make_section(r, {crown, 0.00012, 0, 0, 0.007}));
      INFO(width);
      CHECK(flank < before);
      CHECK(whole < lapped * 1.001);
      before = flank;
      lapped = whole;
    }
  }
}

TEST_CASE("a mirrored joint has the mirrored section") {
  for (JointKind kind : kinds)
    for (const char* id : {"0", "1", "2", "4", "5"}) {
      Recipe r = recipe_of(kind, id), m = r;
      r.room_left = m.room_right = 0.11;
      r.room_right = m.room_left = 0.3;
      SectionFigures f = mean_figures(*workmanship("everyday"), kind), g = f;
      g.step = -f.step;
      Section a = make_section(r, f), b = make_section(m, g);
      REQUIRE(a.height.size() == b.height.size());
      double worst = 0, worst_slope = 0;
      for (std::size_t i = 0; i < a.height.size(); ++i) {
        worst = std::max(worst, std::abs(a.height[i] - b.height[a.height.size() - 1 - i]));
        worst_slope = std::max(worst_slope, std::abs(a.slope[i] + b.slope[a.height.size() - 1 - i]));
      }
      INFO("level " << id);
      CHECK(worst < 1e-8);  // the crown is solved to 1e-11 m, and a feather on a sample may count to either side
      CHECK(worst_slope < 1e-3);  // the same feather's break
    }
}
