// The search for the way round: both cases of physics 5, exhaustive search on small walls, rules by a checker of its own.
#include <catch2/catch.hpp>
#include <cmath>
#include <set>
#include <fmt/format.h>

#include "advice/way_round.h"
#include "unit/board/checker.h"
#include "unit/room/rooms.h"
#include "support/validated.h"

using namespace rakelight;

namespace {

/// A study without light: a wall A, and a level to finish it to.
Study study_of(const Job& job) {
  Study study;
  study.job = job;
  for (SurfaceSpec& s : study.job.surfaces) s.level = written(std::string("4"));
  study.job.access.board_mass = 9.1;
  Diagnostics diagnostics;
  auto room = make_room(study.job, diagnostics);
  REQUIRE(room);
  study.room = *room;
  study.scheme = *scheme("c840");
  study.layouts = lay_all(study.job, study.room, diagnostics);
  return study;
}

Job wall(double length, double height, std::vector<double> lengths) {
  Job job = bare_job({{0, 0}, {0, length}, {4, length}, {4, 0}}, height);
  SurfaceSpec spec = boarded("A", {1.2, 3.0});
  spec.lengths = written(std::move(lengths));
  job.surfaces.push_back(spec);
  job.framing.at = {0, 1};
  job.framing.spacing = 0.6;
  job.framing.direction = std::string("upright");
  return job;
}

/// Chances that depend on class and direction alone.
ShowField even_field(const Study& study, double long_x, double long_y, double end_x, double end_y) {
  return ShowField(study.room.surfaces[0].box, [=](JointClass c, bool along_x, dvec2) {
    return c == JointClass::end ? (along_x ? end_x : end_y) : (along_x ? long_x : long_y);
  });
}

/// A smooth random field: four waves.
ShowField::Chance random_chance(Random& random) {
  std::array<std::array<double, 4>, 4> w{};
  for (auto& one : w)
    for (double& v : one) v = random.uniform();
  return [w](JointClass c, bool along_x, dvec2 p) {
    const auto& k = w[(c == JointClass::end ? 2u : 0u) + (along_x ? 0u : 1u)];
    return std::clamp(k[3] * (0.5 + 0.5 * std::sin(2 * k[0] * p.x + 3 * k[1] * p.y + 6 * k[2])), 0.0, 1.0);
  };
}

}  // namespace

TEST_CASE("a field's sums are the integrals of its chances", "[advice]") {
  const Rect box{{0, 0}, {6.2, 2.65}};
  const ShowField field(box, [](JointClass c, bool along_x, dvec2 p) { return (c == JointClass::end ? 0.02 : 0.05) * p.x + (along_x ? 0.1 : 0.2) * p.y; });
  // cells of 25 mm and their middles are exact for planes; the line is taken at the nearest 25 mm: here it lies on one
  CHECK(field.along_x(JointClass::long_edge, 1.2, 0.4, 5.0) == Approx(0.05 * (5.0 * 5.0 - 0.4 * 0.4) / 2 + 0.1 * 1.2 * 4.6).epsilon(1e-9));
  CHECK(field.along_y(JointClass::end, 3.0, 0.0, 2.65) == Approx(0.02 * 3.0 * 2.65 + 0.2 * 2.65 * 2.65 / 2).epsilon(1e-9));
  JointLine line;
  line.kind = JointKind::butt;
  line.from = {3, 1.2};
  line.to = {3, 2.4};
  CHECK(field.of(line) == field.along_y(JointClass::end, 3, 1.2, 2.4));
  CHECK(field.mean(JointClass::long_edge, true) == Approx(0.05 * 3.1 + 0.1 * 1.325).margin(0.003));
}

TEST_CASE("upright without butts where butts show most (physics 5)", "[advice]") {
  // 6.2 × 2.65 m, sheets to 3 m: horizontal needs butts, upright none
  const Study study = study_of(wall(6.2, 2.65, {2.4, 2.7, 3.0}));
  const FaceWays ways = way_round(study, 0, even_field(study, 0.02, 0.10, 0.60, 0.90));
  const WayOption& best = ways.winner();
  CHECK(best.way.run == Run::upright);
  CHECK(best.way.length == 2.7);       // no longer than need be: less is bought
  CHECK(best.end_metres == 0);
  CHECK(best.breaches == 0);
  CHECK(ways.as_asked.end_metres > 0);
  CHECK(ways.as_asked.visible > best.visible);
  CHECK(ways.tried > 500);
  std::string told;
  for (const std::string& r : ways.reasons) told += r + "\n";
  INFO(told);
  CHECK(told.find("no butts") != std::string::npos);
  CHECK(told.find("As asked (horizontal, sheets 1200 × 3000 mm, running bond)") != std::string::npos);
}

TEST_CASE("horizontal with sheets as long as the wall where light runs along it (physics 5)", "[advice]") {
  const auto along = [](const Study& study) { return even_field(study, 0.0, 0.45, 0.0, 0.60); };
  const Study full = study_of(wall(4.2, 2.65, {2.4, 3.0, 4.2}));
  const FaceWays ways = way_round(full, 0, along(full));
  CHECK(ways.winner().way.run == Run::horizontal);
  CHECK(ways.winner().way.length == 4.2);
  CHECK(ways.winner().end_metres == 0);
  CHECK(ways.winner().visible == 0);
  // the same light without such sheets: butts would stand square across it, and long joints too if they stood; the fewer metres win
  const Study less = study_of(wall(4.2, 2.65, {2.4, 3.0}));
  CHECK(way_round(less, 0, along(less)).winner().visible > 1);
  // a downlight rakes downwards: whatever stands lies along its light
  const FaceWays down = way_round(less, 0, even_field(less, 0.45, 0.0, 0.60, 0.0));
  CHECK(down.winner().way.run == Run::upright);
  CHECK(down.winner().visible == 0);
}

TEST_CASE("the rip lies at the foot, and a tested system keeps its direction", "[advice]") {
  Job job = wall(6.0, 2.65, {3.0});
  job.surfaces[0].system = SystemSpec::bracing;
  const Study study = study_of(job);
  const FaceWays ways = way_round(study, 0, even_field(study, 0.5, 0.0, 0.5, 0.0));
  CHECK(ways.locked);
  CHECK(ways.winner().way.run == Run::horizontal);
  CHECK(ways.winner().way.first_row == Approx(0.25));
  CHECK(ways.winner().breaches == 0);
  for (const WayOption& o : ways.front) CHECK(o.way.run == Run::horizontal);
}

TEST_CASE("sheets that cannot be lifted or brought in are not proposed", "[advice]") {
  Job job = wall(3.5, 2.4, {2.4, 3.6});
  job.access.at = {0, 1};
  job.access.people = 2;
  job.access.each_kg = 25;
  const Study two = study_of(job);
  const auto field = [](const Study& s) { return even_field(s, 0.0, 1.0, 0.0, 1.0); };
  CHECK(way_round(two, 0, field(two)).winner().way.length == 2.4);  // 3600 weighs 39 kg, two lift 33
  job.access.hoist = true;
  const Study hoist = study_of(job);
  CHECK(way_round(hoist, 0, field(hoist)).winner().way.length == 3.6);
  job.access.passage = written(0.9);
  job.access.turn = written(0.9);
  const Study narrow = study_of(job);
  CHECK(way_round(narrow, 0, field(narrow)).winner().way.length == 2.4);  // 0.9 · 2^{3/2} = 2.55 m round the turn
}

TEST_CASE("the best is within 1 % of every layout there is on small walls", "[advice]") {
  test::Validated found("search for the way round, joint seen", "every layout of five small walls with first sheets on studs",
                        "1 % and 40 mm of joint", " m more");
  Random random(11);
  for (int i = 0; i < 5; ++i) {
    const double length = std::round(random.uniform(2.6, 4.4) * 100) / 100, height = std::round(random.uniform(2.3, 2.9) * 100) / 100;
    Job job = wall(length, height, {2.4, 3.0});
    if (i % 2 == 1) job.windows.push_back(window("W", "A", 0.9, 0.9, 1.0, 1.0));
    for (WindowSpec& w : job.windows) w.reveal = written(0.0);
    const Study study = study_of(job);
    const ShowField::Chance chance = random_chance(random);
    const FaceWays ways = way_round(study, 0, ShowField(study.room.surfaces[0].box, chance));

    // every first sheet of every row on every stud, every first row in steps of 25 mm that the rules leave; no code of the search
    double least = 1e9;
    int fewest = 1000;
    for (const Run run : {Run::horizontal, Run::upright})
      for (double sheet : {2.4, 3.0})
        for (double first_row : {0.0, std::fmod(run == Run::horizontal ? height : length, 1.2), 0.3, 0.6, 0.9}) {
          const int steps = run == Run::horizontal ? static_cast<int>(sheet / 0.6 + 1e-9) : 4;
          const int rows = static_cast<int>((run == Run::horizontal ? height : length) / 1.2) + 2;
          int combinations = 1;
          for (int r = 0; r < std::min(rows, 4); ++r) combinations *= steps;
          for (int c = 0; c < combinations; ++c) {
            Way way{run, sheet, first_row, {}};
            for (int r = 0, rest = c; r < std::min(rows, 4); ++r, rest /= steps) way.first_sheets.push_back((rest % steps + 1) * sheet / steps);
            const Layout layout = lay_way(study.job, study.room, 0, way);
            int broken = static_cast<int>(checker::broken(study.room, 0, layout, 0.6).size());
            const double rest = std::fmod(height - first_row, 1.2);
            const double left_over = std::fmod(height, 1.2);
            if (run == Run::horizontal && rest > 0.01 && rest < 1.19 && (left_over < 0.01 || left_over >= 0.15)) ++broken;  // ripped under the ceiling
            for (const Sheet& s : layout.sheets) broken += std::min(s.outline.width(), s.outline.height()) < 0.15 - 1e-4;
            if (broken > fewest) continue;
            double seen = 0;
            for (const JointLine& j : layout.joints)
              for (int k = 0; k < 200; ++k)
                seen += j.length() / 200 * chance(is_end(j.kind) ? JointClass::end : JointClass::long_edge, std::abs(j.along().x) > 0.5, j.from + (k + 0.5) / 200 * (j.to - j.from));
            if (broken < fewest) least = 1e9;
            fewest = broken;
            least = std::min(least, seen);
          }
        }
    INFO("wall " << length << " x " << height << ", best " << ways.winner().visible << " of " << least << ", " << fewest << " rules broken");
    REQUIRE(least < 1e8);
    // 20 mm of joint is what the search takes for alike; the field's cells cost as much again
    found.off(std::max(0.0, ways.winner().visible - least));
    CHECK(ways.winner().visible <= 1.01 * least + 0.04);
    if (fewest == 0) CHECK(ways.winner().breaches == 0);
  }
}

namespace {

void check_winners(int count, std::uint64_t seed) {
  test::Validated found(fmt::format("winners on {} walls", count), "the rules of laying, judged by a checker with code of its own", "no winner breaks a rule that its plan does not name");
  Random random(seed);
  int sound = 0;
  for (int i = 0; i < count; ++i) {
    const double length = std::round(random.uniform(1.5, 8.0) * 1000) / 1000, height = std::round(random.uniform(2.2, 3.4) * 1000) / 1000;
    Job job = wall(length, height, {2.4, 3.0});
    if (length > 2.5 && random.uniform() < 0.6) job.windows.push_back(window("W", "A", 0.15 * length, 0.8, 0.3 * length, 1.1));
    if (length > 2.5 && random.uniform() < 0.4) job.doors.push_back(door("A", 0.65 * length, 0.8, 2.04));
    for (WindowSpec& w : job.windows) w.reveal = written(0.0);
    const Study study = study_of(job);
    const FaceWays ways = way_round(study, 0, ShowField(study.room.surfaces[0].box, random_chance(random)));
    INFO("wall " << i << ": " << length << " x " << height << ", " << way_text(study, 0, ways.winner().way));
    const Layout layout = lay_way(study.job, study.room, 0, ways.winner().way);
    REQUIRE(checker::covers_once(study.room, 0, layout));
    if (ways.winner().breaches == 0) REQUIRE(checker::broken(study.room, 0, layout, 0.6).empty());
    sound += ways.winner().breaches == 0;
    REQUIRE(ways.winner().breaches <= ways.as_asked.breaches);
    for (const WayOption& o : ways.front) REQUIRE(o.breaches == ways.winner().breaches);
    // nothing on the front beats another
    for (const WayOption& a : ways.front)
      for (const WayOption& b : ways.front)
        REQUIRE_FALSE((a.visible < b.visible - 1e-6 && a.hours < b.hours - 1e-6 && a.bought < b.bought - 1e-6));
  }
  found.says(fmt::format("none; {} break no rule at all", sound));
  CHECK(sound > count / 2);
}

}  // namespace

TEST_CASE("winners obey the rules by a checker of its own", "[advice]") { check_winners(12, 3); }

TEST_CASE("winners on ten thousand walls obey the rules", "[advice][long]") { check_winners(10000, 4); }

TEST_CASE("keys of a way ask for that very way; entries that no longer match are named", "[advice]") {
  Job job = wall(6.2, 2.65, {3.0});
  JointSpec entry;
  entry.id = written(std::string("A/B1"));
  entry.width = written(0.56);
  job.joints.push_back(entry);
  const Study study = study_of(job);
  const Way way{Run::horizontal, 3.0, 0.25, {3.0, 1.8}};
  CHECK(way_keys(study, 0, way) == std::vector<std::string>{"run = \"horizontal\"", "sheet = [1200, 3000]", "first_row = 250", "first_sheets = [3000, 1800]"});
  CHECK(way_text(study, 0, way) == "horizontal, sheets 1200 × 3000 mm, first row 250 mm, first sheets 3000, 1800 mm");
  CHECK(entries_moved(study, 0, study.layouts[0]).empty());
  const auto moved = entries_moved(study, 0, lay_way(study.job, study.room, 0, way));
  REQUIRE(moved.size() == 1);
  CHECK(moved[0].starts_with("A/B1 (width 560 mm): another joint now; nearest is A/B"));
  const auto gone = entries_moved(study, 0, lay_way(study.job, study.room, 0, {Run::upright, 3.0, 0, {3.0}}));
  REQUIRE(gone.size() == 1);
  CHECK(gone[0] == "A/B1 (width 560 mm): no such joint any more");
}
