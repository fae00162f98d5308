#include <catch2/catch.hpp>

#include "cost/cost.h"

using namespace rakelight;

namespace {

Level level_of(const std::string& id, bool tape, int coats, double skim = 0) {
  Level l;
  l.id = id;
  l.tape = tape;
  l.coats = coats;
  l.skim = skim;
  if (tape) l.recessed_widths = l.butt_widths = {0.3};
  return l;
}

// A wall and a ceiling of 12 m² boarded with 15 m of joints: the textbook's 1.25 m of joint per m².
Study study_of() {
  Study s;
  s.room.surfaces.resize(2);
  s.room.surfaces[1].kind = Surface::Kind::ceiling;
  s.scheme.levels = {level_of("0", false, 0), level_of("3", true, 1), level_of("4", true, 2), level_of("5", true, 2, 0.3e-3)};
  return s;
}

SurfaceResult result_of(int surface, const std::string& level) {
  SurfaceResult r;
  r.surface = surface;
  r.finish.level = level;
  Sheet sheet;
  sheet.pieces = {Rect{{0, 0}, {4, 3}}};
  r.layout.sheets = {sheet};
  JointLine line;
  line.to = {15, 0};
  r.layout.joints = {line};
  JointResult joint;
  joint.joint.line = line;
  joint.width = 0.3;
  r.joints = {joint};
  return r;
}

}  // namespace

TEST_CASE("hours and material of the textbook's wall") {
  const Study study = study_of();
  const Cost four = cost_of(study, result_of(0, "4"));
  // docs/reference/trade.md 7.3: 0.06 (trade tools) to 0.20 h/m² (by hand) to level 4; 12 m²
  CHECK(four.hours.low == Approx(0.72));
  CHECK(four.hours.high == Approx(2.4));
  // 7.1: 0.20 L/m² (1.6 kg/L) to 14 lb/100 ft² = 0.68 kg/m²
  CHECK(four.compound_kg.low == Approx(3.84));
  CHECK(four.compound_kg.high == Approx(8.16));
  CHECK(four.tape_m.low == Approx(15));
  CHECK(four.tape_m.high == Approx(17.25));
  CHECK(four.visits == 4);  // 7.3: at least three coat visits and sanding

  // level 5: 0.08–0.20 h/m² more; a film of 0.3 mm is 0.3 L/m² (7.1), 5.76 kg, half as much again at worst
  const Cost five = cost_of(study, result_of(0, "5"));
  CHECK(five.hours.low - four.hours.low == Approx(0.96));
  CHECK(five.hours.high - four.hours.high == Approx(2.4));
  CHECK(five.compound_kg.low - four.compound_kg.low == Approx(5.76));
  CHECK(five.compound_kg.high - four.compound_kg.high == Approx(8.64));
  CHECK(five.visits == 5);

  const Cost three = cost_of(study, result_of(0, "3"));
  CHECK(three.hours.high < four.hours.high);
  const Cost none = cost_of(study, result_of(0, "0"));
  CHECK(none.hours.high == 0.0);
  CHECK(none.tape_m.high == 0.0);
  CHECK(none.visits == 0);
}

TEST_CASE("ceilings, wide joints, and the word estimate") {
  const Study study = study_of();
  const Cost wall = cost_of(study, result_of(0, "4")), ceiling = cost_of(study, result_of(1, "4"));
  CHECK(ceiling.hours.low == Approx(1.25 * wall.hours.low));   // 7.3: ceilings × 1.25–1.4
  CHECK(ceiling.hours.high == Approx(1.40 * wall.hours.high));
  CHECK(ceiling.compound_kg.high == Approx(wall.compound_kg.high));

  auto wide = result_of(0, "4");
  wide.joints[0].width = 0.6;
  CHECK(cost_of(study, wide).hours.high == Approx(1.5 * wall.hours.high));  // half goes with the joints, twice as wide

  REQUIRE_FALSE(wall.notes.empty());
  CHECK(wall.notes[0].find("estimate") != std::string::npos);
  for (const auto& cost : {wall, ceiling}) {
    CHECK(cost.hours.low <= cost.hours.high);
    CHECK(cost.compound_kg.low <= cost.compound_kg.high);
  }
}

TEST_CASE("nothing boarded costs nothing") {
  const Study study = study_of();
  SurfaceResult bare;
  bare.finish.level = "5";
  const Cost cost = cost_of(study, bare);
  CHECK(cost.hours.high == 0.0);
  CHECK(cost.compound_kg.high == 0.0);
}
