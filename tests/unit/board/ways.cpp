// Ways of laying that a job or the search may ask for, over random walls; stock, rules and cutting against published figures.
#include <catch2/catch.hpp>
#include <set>
#include <fmt/format.h>

#include "board/plan.h"
#include "board/stock.h"
#include "unit/room/rooms.h"
#include "unit/board/checker.h"
#include "support/validated.h"

using namespace rakelight;

namespace {

double round_to(double v, double step) { return std::round(v / step) * step; }

/// A wall A of the room with up to a window and a door, on studs.
Job random_wall(Random& random) {
  const double length = round_to(random.uniform(1.5, 9.0), 0.001), height = round_to(random.uniform(2.2, 3.5), 0.001);
  Job job = bare_job({{0, 0}, {0, length}, {4, length}, {4, 0}}, height);
  SurfaceSpec spec = boarded("A", {random.uniform() < 0.7 ? 1.2 : 0.9, 3.0});
  job.surfaces.push_back(spec);
  job.framing.at = {0, 1};
  job.framing.spacing = random.uniform() < 0.5 ? 0.6 : 0.45;
  job.framing.direction = std::string("upright");
  if (length > 2.5 && random.uniform() < 0.7)
    job.windows.push_back(window("W", "A", round_to(random.uniform(0.1, 0.3 * length), 0.001), round_to(random.uniform(0.4, 1.0), 0.001), round_to(0.3 * length, 0.001),
                                 round_to(random.uniform(0.5, 1.1), 0.001)));
  if (length > 2.5 && random.uniform() < 0.5) job.doors.push_back(door("A", round_to(0.65 * length, 0.001), 0.8, round_to(random.uniform(1.9, height), 0.001)));
  for (WindowSpec& w : job.windows) w.reveal = written(0.0);
  return job;
}

Way random_way(Random& random, const Job& job) {
  Way way;
  way.run = random.uniform() < 0.5 ? Run::horizontal : Run::upright;
  way.length = std::vector{2.4, 2.7, 3.0, 3.6}[static_cast<std::size_t>(random.uniform(0, 4))];
  if (random.uniform() < 0.6) way.first_row = round_to(random.uniform(0.1, 1.2), 0.05);
  const double spacing = *job.framing.spacing;
  for (int rows = static_cast<int>(random.uniform(0, 4)); rows > 0; --rows)
    way.first_sheets.push_back(random.uniform() < 0.7 ? spacing * std::ceil(random.uniform(0.01, way.length / spacing - 1)) : random.uniform(0.2, way.length));
  return way;
}

void check_walls(int count, std::uint64_t seed) {
  test::Validated validated(fmt::format("{} random walls laid any way", count), "a checker with code of its own: board covered once, joints where sheets touch, rules broken", "every wall");
  Random random(seed);
  int framing = 0, stagger = 0, opening = 0, sound = 0;
  for (int i = 0; i < count; ++i) {
    Job job = random_wall(random);
    Room room = room_of(job);
    const bool controlled = random.uniform() < 0.15;
    if (controlled) job.surfaces[0].control_joints = std::vector<double>{round_to(random.uniform(0.5, 0.9) * room.surfaces[0].box.hi.x, 0.001)};
    const Plan plan = plan_of(job, room, 0, random_way(random, job));
    INFO("wall " << i);
    REQUIRE(checker::covers_once(room, 0, plan.layout));
    for (const Sheet& s : plan.layout.sheets) {
      // a sheet is no longer and no wider than those bought; corners take up to 10 mm of filler
      const dvec2 size = plan.way.run == Run::horizontal ? dvec2(s.outline.width(), s.outline.height()) : dvec2(s.outline.height(), s.outline.width());
      REQUIRE(size.x < plan.way.length + 0.010 + 1e-6);
      REQUIRE(size.y < job.surfaces[0].sheet->x + 0.010 + 1e-6);
    }
    double lines = 0;
    for (const JointLine& j : plan.layout.joints) lines += j.length();
    for (const BreakLine& b : plan.breaks) lines += glm::length(b.to - b.from);
    REQUIRE(lines == Approx(checker::metres(checker::touches(plan.layout))).margin(1e-4));
    if (!plan.breaks.empty()) continue;  // the checker knows no breaks
    std::set<std::string> said;
    for (const Breach& b : plan.breaches)
      if (b.rule->id == "framing" || b.rule->id == "stagger" || b.rule->id == "opening") said.insert(std::string(b.rule->id));
    const std::set<std::string> found = checker::broken(room, 0, plan.layout, *job.framing.spacing);
    REQUIRE(said == found);
    framing += static_cast<int>(found.count("framing"));
    stagger += static_cast<int>(found.count("stagger"));
    opening += static_cast<int>(found.count("opening"));
    sound += found.empty();
  }
  // the walls are such that every rule is both kept and broken often
  for (int often : {framing, stagger, opening, sound}) CHECK(often > count / 20);
  validated.says(fmt::format("every wall; rules broken {} times and kept on {} walls", framing + stagger + opening, sound));
}

}  // namespace

TEST_CASE("any way of laying covers the wall once, and its breaches are those that a checker of its own finds", "[board]") { check_walls(400, 7); }

TEST_CASE("ten thousand walls laid and checked", "[board][long]") { check_walls(10000, 8); }

TEST_CASE("sheet ends are cut back to members; sheets never grow", "[board]") {
  Job job = bare_job({{0, 0}, {0, 6.2}, {4, 6.2}, {4, 0}}, 2.4);
  job.surfaces.push_back(boarded("A", {1.2, 2.7}));
  job.framing.at = {0, 1};
  job.framing.spacing = 0.6;
  job.framing.direction = std::string("upright");
  const Room room = room_of(job);
  // 2700 on studs at 600: 2400, then 2400 more; the last 1400
  const Layout layout = lay_way(job, room, 0, {Run::horizontal, 2.7, 0, {2.4, 1.2}});
  std::vector<double> at;
  for (const JointLine& j : layout.joints)
    if (is_end(j.kind)) at.push_back(j.from.x);
  std::sort(at.begin(), at.end());
  REQUIRE(at.size() == 4);
  CHECK(at[0] == Approx(1.2));
  CHECK(at[1] == Approx(2.4));
  CHECK(at[2] == Approx(3.6));
  CHECK(at[3] == Approx(4.8));
}

TEST_CASE("the way of a job is the running bond without its keys, and belongs to its own direction", "[board]") {
  Job job = bare_job({{0, 0}, {0, 6.2}, {4, 6.2}, {4, 0}}, 2.65);
  job.surfaces.push_back(boarded("A", {1.2, 3.0}));
  Room room = room_of(job);
  CHECK(way_as_asked(job, room, 0) == Way{Run::horizontal, 3.0, 0, {}});
  job.surfaces[0].first_row = written(0.25);
  job.surfaces[0].first_sheets = written(std::vector<double>{3.0, 1.8});
  CHECK(way_as_asked(job, room, 0) == Way{Run::horizontal, 3.0, 0.25, {3.0, 1.8}});
  CHECK(way_as_asked(job, room, 0, Run::upright) == Way{Run::upright, 3.0, 0, {}});
  const Layout layout = lay_sheets(job, room, 0, Run::horizontal);
  CHECK(layout.sheets.front().outline.height() == Approx(0.25));
  CHECK(forbidden(plan_of(job, room, 0, way_as_asked(job, room, 0)).breaches) == 0);
}

TEST_CASE("control joints at the published spacing; a door as high as the wall is one", "[board]") {
  test::Validated found("rules of laying", "published: control joints at 30 ft, a door as high as the wall", "as published");
  // C840 and GA-216: 30 ft = 9.144 m
  Job job = bare_job({{0, 0}, {0, 12}, {4, 12}, {4, 0}}, 2.4);
  job.surfaces.push_back(boarded("A", {1.2, 3.0}));
  auto breaks = [&] {
    const Room room = room_of(job);
    const auto all = plan_of(job, room, 0, way_as_asked(job, room, 0)).breaches;
    return std::count_if(all.begin(), all.end(), [](const Breach& b) { return b.rule->id == "control"; });
  };
  CHECK(breaks() == 1);
  job.doors.push_back(door("A", 6, 0.9, 2.4));
  CHECK(breaks() == 0);
  job.doors.clear();
  job.surfaces[0].control_joints = std::vector<double>{6.0};
  CHECK(breaks() == 0);
  const Room room = room_of(job);
  const Plan plan = plan_of(job, room, 0, way_as_asked(job, room, 0));
  REQUIRE(plan.breaks.size() == 1);
  CHECK(plan.breaks[0].from.x == Approx(6.0));
  for (const JointLine& j : plan.layout.joints) CHECK((!is_end(j.kind) || std::abs(j.from.x - 6.0) > 1e-6));
}

TEST_CASE("tall walls ask for movement joints; what the job relaxes is still reported", "[board]") {
  Job job = bare_job({{0, 0}, {0, 5}, {4, 5}, {4, 0}}, 5.2);
  job.surfaces.push_back(boarded("A", {1.2, 3.0}));
  job.surfaces[0].relax = std::vector<std::string>{"floor-line", "framing"};
  const Room room = room_of(job);
  const Plan plan = plan_of(job, room, 0, way_as_asked(job, room, 0));
  int floor_line = 0, framing = 0;
  for (const Breach& b : plan.breaches) {
    if (b.rule->id == "floor-line") ++floor_line;
    if (b.rule->id == "framing") ++framing;
    if (b.rule->id == "floor-line" || b.rule->id == "framing") CHECK(b.relaxed);
  }
  CHECK(floor_line == 1);
  CHECK(framing > 0);  // half sheets of 1500 fall between studs at 600
  job.units = Units::inch;
  const auto breaches = plan_of(job, room, 0, way_as_asked(job, room, 0)).breaches;
  for (const Breach& b : breaches) CHECK(b.what.find(" mm") == std::string::npos);
  CHECK(rule_text(rule("stagger"), Units::inch).find("1' 3-3/4\"") != std::string::npos);
}

TEST_CASE("who lifts a sheet, and how long a sheet goes round a corner", "[board]") {
  CHECK(team_lifts(1, 25) == 25);
  CHECK(team_lifts(2, 25) == Approx(33.333).margin(1e-3));
  CHECK(team_lifts(4, 25) == 50);
  CHECK(people_for(1.2 * 3.0 * 9.1, 25) == 2);
  CHECK(people_for(1.2 * 3.6 * 9.1, 25) == 4);  // 39.3 kg: three lift 37.5
  CHECK(people_for(1000, 25) == 0);
  // a ladder round the corner of two passages of 1 m: 2^{3/2}; of 8 and 27 ft: 13^{3/2} ft (calculus textbooks)
  CHECK(longest_round(1, 1) == Approx(std::pow(2.0, 1.5)));
  CHECK(longest_round(8, 27) == Approx(std::pow(13.0, 1.5)));
  AccessSpec access;
  CHECK(cannot_enter(access, 1.2, 3.6, Units::millimetre).empty());
  access.passage = written(1.0);
  access.turn = written(1.0);
  CHECK(cannot_enter(access, 1.2, 2.7, Units::millimetre).empty());
  CHECK(cannot_enter(access, 1.2, 3.0, Units::millimetre).find("2828.4 mm") != std::string::npos);
  access.turn = written(1.4);
  CHECK(cannot_enter(access, 1.2, 3.0, Units::millimetre).empty());
  // of a car of 1000 × 1100 × 2200 only the height takes the sheet's width, and the floor's diagonal is 1487
  access.lift = written(dvec3(1.0, 1.1, 2.2));
  CHECK_FALSE(cannot_enter(access, 1.2, 2.4, Units::millimetre).empty());
  // one side of 1400 takes the width, and the diagonal of 1100 × 2200, 2460, the length
  access.lift = written(dvec3(1.1, 1.4, 2.2));
  CHECK(cannot_enter(access, 1.2, 2.4, Units::millimetre).empty());
}

TEST_CASE("joint metres per square metre of large faces: 1/W + 1/L", "[board]") {
  test::Validated found("joints of a large ceiling", "1/W + 1/L (reference/trade.md 7.1)", "0.015 m a m²", " m a m²");
  // docs/reference/trade.md 7.1: geometric 1/W + 1/L: 0.83 + 0.28 for 1.2 × 3.6. A face of 36 × 24 m leaves 1/36 + 1/24 at its edges.
  Job job = bare_job({{0, 0}, {0, 24}, {36, 24}, {36, 0}}, 2.4);
  job.surfaces.push_back(boarded("ceiling", {1.2, 3.6}, RunSpec::automatic));
  const Room room = room_of(job);
  const Layout layout = lay_way(job, room, room.ceiling(), {Run::horizontal, 3.6, 0, {}});
  double metres = 0;
  for (const JointLine& j : layout.joints) metres += j.length();
  CHECK(found.near(metres / (36 * 24), 1 / 1.2 + 1 / 3.6 - 1.0 / 36 - 1.0 / 24) == Approx(1 / 1.2 + 1 / 3.6 - 1.0 / 36 - 1.0 / 24).margin(0.015));  // every second row has an end more than this formula: 0.5 × 24 m
}

TEST_CASE("offcuts are hung again where they fit, factory edge to factory edge", "[board]") {
  Job job = bare_job({{0, 0}, {0, 6.0}, {4, 6.0}, {4, 0}}, 2.4);
  job.surfaces.push_back(boarded("A", {1.2, 3.6}));
  const Room room = room_of(job);
  // two rows of 3.6 + 2.4: 2.4 from a sheet of 3.6 leaves 1.2, too short for anything: four sheets
  Layout layout = lay_way(job, room, 0, {Run::horizontal, 3.6, 0, {3.6, 2.4}});
  Cutting cutting = cut_sheets({{0, "A", &layout, 1.2, 3.6}});
  CHECK(cutting.stock[0].count == 4);
  CHECK(cutting.waste() == Approx(1 - 6.0 * 2.4 / (4 * 1.2 * 3.6)));
  // of 2.4: 2.4 + 2.4 + 1.2 and 1.2 + 2.4 + 2.4: the two of 1.2 come from one sheet, five in all, nothing left
  layout = lay_way(job, room, 0, {Run::horizontal, 2.4, 0, {2.4, 1.2}});
  cutting = cut_sheets({{0, "A", &layout, 1.2, 2.4}});
  CHECK(cutting.stock[0].count == 5);
  CHECK(cutting.reused == 1);
  CHECK(cutting.waste() == Approx(0).margin(1e-9));
  double area = 0;
  for (const Cut& c : cutting.cuts) area += c.size.x * c.size.y;
  CHECK(area == Approx(6.0 * 2.4));
}
