#include "board/board.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <set>

#include "unit/room/rooms.h"

using namespace rakelight;

namespace {

struct Count { int recessed = 0, butt = 0; };
Count count(const Layout& layout) {
  Count n;
  for (const JointLine& j : layout.joints) ++(j.kind == JointKind::recessed ? n.recessed : n.butt);
  return n;
}

const JointLine& joint(const Layout& layout, const std::string& id) {
  for (const JointLine& j : layout.joints)
    if (j.id == id) return j;
  FAIL("no joint " << id);
  return layout.joints.front();
}

// Plan and wall coordinates of these tests are decimals of a metre; sums of a few of them round by 1e-15.
constexpr double exact = 1e-12;

Approx exactly(double v) { return Approx(v).margin(exact).epsilon(0); }

}  // namespace

TEST_CASE("a 6.2 by 2.65 m wall both ways", "[board]") {
  // By hand: rows 1.2 + 1.2 + 0.25; a row of 6.2 m takes 3 sheets of 3.0 m (3 + 3 + 0.2, or 1.5 + 3 + 1.7), so two
  // butts in each; upright 5 × 1.2 + 0.2, and 3.0 m sheets stand floor to ceiling.
  Job job = long_room();
  job.surfaces.push_back(boarded("A", {1.2, 3.0}));
  const Room room = room_of(job);

  const Layout flat = lay_sheets(job, room, 0, Run::horizontal);
  CHECK(count(flat).recessed == 2);
  CHECK(count(flat).butt == 6);
  CHECK(flat.sheets.size() == 9);
  const JointLine& r1 = joint(flat, "A/R1");
  CHECK(r1.from.x == exactly(0));
  CHECK(r1.to.x == exactly(6.2));
  CHECK(r1.from.y == exactly(1.2));
  CHECK(r1.room_left == exactly(1.2));   // up to R2
  CHECK(r1.room_right == exactly(1.2));  // down to the floor
  CHECK(joint(flat, "A/R2").room_left == exactly(0.25));
  // left to right, then bottom to top: 1.5 (row 2), 3.0 (rows 1 and 3), 4.5 (row 2), 6.0 (rows 1 and 3)
  const double x[] = {1.5, 3.0, 3.0, 4.5, 6.0, 6.0}, y[] = {1.2, 0, 2.4, 1.2, 0, 2.4};
  for (int i = 0; i < 6; ++i) {
    const JointLine& b = joint(flat, "A/B" + std::to_string(i + 1));
    CHECK(b.from.x == exactly(x[i]));
    CHECK(b.from.y == exactly(y[i]));
    CHECK(b.along().y == exactly(1));
    CHECK(b.across().x == exactly(1));
  }
  CHECK(joint(flat, "A/B2").room_left == exactly(3.0));
  CHECK(joint(flat, "A/B5").room_right == exactly(0.2));
  CHECK(joint(flat, "A/B1").room_left == exactly(1.5));
  CHECK(joint(flat, "A/B3").length() == exactly(0.25));

  const Layout tall = lay_sheets(job, room, 0, Run::upright);
  CHECK(count(tall).recessed == 5);
  CHECK(count(tall).butt == 0);
  CHECK(joint(tall, "A/R5").from.x == exactly(6.0));
  CHECK(joint(tall, "A/R5").room_right == exactly(0.2));
  CHECK(joint(tall, "A/R5").room_left == exactly(1.2));
}

TEST_CASE("sheets as long as the wall leave no butt", "[board]") {
  Job job = bare_job({{0, 0}, {0, 3.6}, {4, 3.6}, {4, 0}}, 2.4);
  job.surfaces.push_back(boarded("A", {1.2, 3.6}));
  const Layout layout = lay_sheets(job, room_of(job), 0, Run::horizontal);
  CHECK(count(layout).butt == 0);
  CHECK(count(layout).recessed == 1);
  CHECK(layout.sheets.size() == 2);
  CHECK(layout.sheets[0].full());
}

TEST_CASE("a second row starts with its offcut where that saves a butt", "[board]") {
  // 5.0 m of 3.0 m sheets: 3 + 2 and 2 + 3, butts 1 m apart; half a sheet first would take 1.5 + 3 + 0.5.
  Job job = bare_job({{0, 0}, {0, 5}, {4, 5}, {4, 0}}, 2.4);
  job.surfaces.push_back(boarded("A", {1.2, 3.0}));
  const Layout layout = lay_sheets(job, room_of(job), 0, Run::horizontal);
  REQUIRE(count(layout).butt == 2);
  CHECK(joint(layout, "A/B1").from.x == exactly(2.0));
  CHECK(joint(layout, "A/B2").from.x == exactly(3.0));
}

TEST_CASE("a remainder of up to 10 mm is filled, not boarded", "[board]") {
  Job job = bare_job({{0, 0}, {0, 6.008}, {4, 6.008}, {4, 0}}, 2.409);
  job.surfaces.push_back(boarded("A", {1.2, 3.0}));
  const Layout layout = lay_sheets(job, room_of(job), 0, Run::horizontal);
  CHECK(count(layout).recessed == 1);
  CHECK(count(layout).butt == 3);  // 3.0; 1.5 and 4.5
}

TEST_CASE("upright sheets that do not reach the ceiling are staggered", "[board]") {
  Job job = bare_job({{0, 0}, {0, 3.6}, {4, 3.6}, {4, 0}}, 4.0);
  job.surfaces.push_back(boarded("A", {1.2, 3.0}));
  const Layout layout = lay_sheets(job, room_of(job), 0, Run::upright);
  CHECK(count(layout).recessed == 2);
  REQUIRE(count(layout).butt == 3);
  CHECK(joint(layout, "A/B1").from.y == exactly(3.0));
  CHECK(joint(layout, "A/B2").from.y == exactly(1.5));  // half a sheet
  CHECK(joint(layout, "A/B3").from.y == exactly(3.0));
}

TEST_CASE("openings interrupt joints and limit their room", "[board]") {
  Job job = long_room();
  job.surfaces.push_back(boarded("A", {1.2, 3.0}));
  job.windows.push_back(window("W1", "A", 2.0, 0.8, 1.5, 1.5));  // x 2.0–3.5, y 0.8–2.3
  job.doors.push_back(door("A", 5.0, 1.0, 2.4));                 // its head lies on the second joint
  const Room room = room_of(job);
  const Layout layout = lay_sheets(job, room, 0, Run::horizontal);
  // y = 1.2 is cut by window and door into 0–2.0, 3.5–5.0 and 6.0–6.2; y = 2.4 runs over the window and
  // stops along the door's head, where there is no board below: 0–5.0 and 6.0–6.2.
  CHECK(count(layout).recessed == 5);
  CHECK(joint(layout, "A/R1").to.x == exactly(2.0));
  CHECK(joint(layout, "A/R2").to.x == exactly(5.0));
  CHECK(joint(layout, "A/R2").from.y == exactly(2.4));
  CHECK(joint(layout, "A/R2").room_right == exactly(0.1));  // the window's head at 2.3
  CHECK(joint(layout, "A/R3").from.x == exactly(3.5));
  CHECK(joint(layout, "A/R3").to.x == exactly(5.0));
  CHECK(joint(layout, "A/R4").from.x == exactly(6.0));
  // butts: x = 3.0 row 1 only below the sill (0–0.8), row 3 whole; x = 1.5 and 4.5 in row 2; x = 6.0 stands on
  // the door's right edge in rows 1 and 2 and is a joint only above its head
  CHECK(joint(layout, "A/B2").from.y == exactly(0));
  CHECK(joint(layout, "A/B2").to.y == exactly(0.8));
  CHECK(joint(layout, "A/B1").room_right == exactly(0.5));  // the window's left edge
  CHECK(joint(layout, "A/B4").room_left == exactly(1.0));   // the window's right edge
  CHECK(joint(layout, "A/B5").from.x == exactly(6.0));
  CHECK(joint(layout, "A/B5").from.y == exactly(2.4));
  CHECK(count(layout).butt == 5);
  double area = 0;
  for (const Sheet& s : layout.sheets) area += s.area();
  CHECK(area == exactly(6.2 * 2.65 - 1.5 * 1.5 - 1.0 * 2.4));
}

TEST_CASE("joint metres per square metre tend to 1/W + 1/L", "[board]") {
  // On a length a by height b: recessed (ceil(b/W) − 1)·a, butts per row a/L or a/L rounded, each W long. Without
  // edges a·b (1/W + 1/L). Both counts are short by at most one line: the recessed by at most a metres, the butts by
  // at most one per row, b metres together; so the density differs by at most 1/b + 1/a.
  Job job = bare_job({{0, 0}, {0, 60}, {20, 60}, {20, 0}}, 18);
  for (dvec2 size : {dvec2{1.2, 3.6}, dvec2{1.2, 3.0}, dvec2{0.9, 2.4}}) {
    job.surfaces = {boarded("A", size)};
    const Room room = room_of(job);
    for (Run run : {Run::horizontal, Run::upright}) {
      double metres = 0;
      for (const JointLine& j : lay_sheets(job, room, 0, run).joints) metres += j.length();
      const double density = metres / (60.0 * 18.0), wanted = 1 / size.x + 1 / size.y;
      CHECK(density <= wanted + 1e-9);
      CHECK(density >= wanted - (1.0 / 60 + 1.0 / 18));
    }
  }
}

TEST_CASE("an L-shaped ceiling", "[board]") {
  Job job = l_room();
  job.surfaces.push_back(boarded("ceiling", {1.2, 3.0}));
  const Room room = room_of(job);
  const Layout layout = lay_sheets(job, room, room.ceiling(), Run::horizontal);
  // Rows at 1.2, 2.4, 3.6, 4.8. Below y = 3 they run 6 m (row 3, 2.4–3.6, too: its widest part decides), above 3 m.
  // Butts: row 1 at 3.0; row 2 at 1.5 and 4.5; row 3 at 3.0 (from 2.4 to 3.0 only); rows 4 and 5 one sheet each.
  CHECK(count(layout).recessed == 4);
  REQUIRE(count(layout).butt == 4);
  CHECK(joint(layout, "ceiling/B3").from.y == exactly(2.4));
  CHECK(joint(layout, "ceiling/B3").to.y == exactly(3.0));
  CHECK(joint(layout, "ceiling/R3").to.x == exactly(3.0));
  CHECK(joint(layout, "ceiling/R3").room_right == exactly(1.2));
  CHECK(joint(layout, "ceiling/R2").room_left == exactly(0.6));  // the ceiling's inner edge at y = 3, over x 3 to 6
}

TEST_CASE("a slanted ceiling is clipped exactly", "[board]") {
  // A right triangle with legs of 6 m: the line y = 1.2 is 4.8 m long, y = 2.4 3.6 m, …
  Job job = bare_job({{0, 0}, {0, 6}, {6, 0}}, 2.5);
  job.surfaces.push_back(boarded("ceiling", {1.2, 3.0}));
  const Room room = room_of(job);
  const Layout layout = lay_sheets(job, room, room.ceiling(), Run::horizontal);
  REQUIRE(count(layout).recessed == 4);
  for (int i = 1; i <= 4; ++i) CHECK(joint(layout, "ceiling/R" + std::to_string(i)).length() == exactly(6 - 1.2 * i));
  double area = 0;
  for (const Sheet& s : layout.sheets) area += s.area();
  CHECK(area == exactly(18));
  // the feather of a line that ends at the slant dies there; its width is not zero
  CHECK(joint(layout, "ceiling/R4").room_left == exactly(0.6));  // half of its 1.2 m at 45°
}

TEST_CASE("runs in words and as asked", "[board]") {
  Job job = long_room();
  job.surfaces = {boarded("A", {1.2, 3.0}), boarded("ceiling", {1.2, 3.0})};
  const Room room = room_of(job);
  CHECK(run_text(room, 0, Run::horizontal) == "horizontal");
  CHECK(run_text(room, 0, Run::upright) == "upright");
  CHECK(run_text(room, room.ceiling(), Run::upright) == "towards B");     // B spans the far end in y
  CHECK(run_text(room, room.ceiling(), Run::horizontal) == "towards A");
  CHECK(requested_run(job, room, 0) == Run::horizontal);
  CHECK(requested_run(job, room, room.ceiling()) == Run::upright);        // 6.2 m lies along y
  job.surfaces[1].run = written(RunSpec::towards_wall);
  job.surfaces[1].run_wall = "C";                                         // x = 4.2
  CHECK(requested_run(job, room, room.ceiling()) == Run::horizontal);
}

TEST_CASE("joints that match nothing are reported with the nearest", "[board]") {
  Job job = long_room();
  job.surfaces = {boarded("A", {1.2, 3.0})};
  for (const char* id : {"A/B2", "A/B9", "B/R1", "attic/R1"}) {
    JointSpec spec;
    spec.id = written(std::string(id));
    job.joints.push_back(spec);
  }
  const Room room = room_of(job);
  Diagnostics diagnostics;
  const std::vector<Layout> layouts = lay_all(job, room, diagnostics);
  CHECK(layouts.size() == room.surfaces.size());
  CHECK(layouts[1].joints.empty());
  REQUIRE(diagnostics.all().size() == 3);
  CHECK(diagnostics.all()[0].at.begin == job.joints[1].id.at.begin);
  CHECK(diagnostics.all()[0].wrong == "there is no joint A/B9");
  CHECK(diagnostics.all()[0].right.find("did you mean A/B") == 0);
  CHECK(diagnostics.all()[0].right.find("R1 to R2 and B1 to B6") != std::string::npos);
  CHECK(diagnostics.all()[1].right.find("B is not boarded") != std::string::npos);
}

TEST_CASE("edges, ripped strips and backing name the joints", "[board]") {
  Job job = long_room();
  job.surfaces.push_back(boarded("A", {1.2, 3.0}));
  const Room room = room_of(job);
  SurfaceSpec& spec = job.surfaces.back();
  const std::pair<EdgeSpec, std::pair<JointKind, std::string>> edges[] = {
      {EdgeSpec::recessed, {JointKind::recessed, "A/R1"}},   {EdgeSpec::half_round, {JointKind::half_round, "A/H1"}},
      {EdgeSpec::square, {JointKind::square, "A/S1"}},       {EdgeSpec::chamfered, {JointKind::chamfered, "A/V1"}},
      {EdgeSpec::cut, {JointKind::cut_to_cut, "A/C1"}}};
  for (const auto& [edge, expected] : edges) {
    spec.edge.value = edge;
    const Layout layout = lay_sheets(job, room, 0, Run::horizontal);
    CHECK(joint(layout, expected.second).kind == expected.first);
    CHECK(joint(layout, "A/B1").kind == JointKind::butt);
    CHECK(layout.joints.size() == 8);  // where joints lie does not hang on the edge
  }
  // the last row of 2650 is ripped to 250: its cut edge at the joint makes that one cut to factory edge, above the joint
  spec.edge.value = EdgeSpec::recessed;
  spec.ripped_edge.value = RippedEdgeSpec::joint;
  const Layout turned = lay_sheets(job, room, 0, Run::horizontal);
  CHECK(joint(turned, "A/R1").kind == JointKind::recessed);
  CHECK(joint(turned, "A/C1").kind == JointKind::cut_to_recessed);
  CHECK(joint(turned, "A/C1").from.y == exactly(2.4));
  CHECK(joint(turned, "A/C1").cut_left);  // left of a line that runs to the right is up
  const Layout upright = lay_sheets(job, room, 0, Run::upright);
  CHECK_FALSE(joint(upright, "A/C1").cut_left);
  // rows that come out even have no ripped row: 2.4 m with 1.2 m sheets
  Job even = long_room();
  even.room.height.value = 2.4;
  even.surfaces.push_back(spec);
  for (const JointLine& j : lay_sheets(even, room_of(even), 0, Run::horizontal).joints) CHECK(j.kind != JointKind::cut_to_recessed);
  // backed ends keep their ids
  spec.backing.value = BackingSpec::both;
  CHECK(joint(lay_sheets(job, room, 0, Run::horizontal), "A/B2").kind == JointKind::backed_butt);
  spec.backing.value = BackingSpec::recessed;
  CHECK(joint(lay_sheets(job, room, 0, Run::horizontal), "A/B2").kind == JointKind::butt);
}

TEST_CASE("a joint's own kind holds within long edges and within ends", "[board]") {
  Job job = long_room();
  job.surfaces.push_back(boarded("A", {1.2, 3.0}));
  auto state = [&](const std::string& id, const std::string& kind) {
    JointSpec& spec = job.joints.emplace_back();
    spec.id.value = id;
    spec.kind.value = kind;
    spec.kind.given = true;
  };
  state("A/R2", "cut-to-recessed");
  state("A/B1", "backed butt");
  const Room room = room_of(job);
  Diagnostics fine;
  const std::vector<Layout> layouts = lay_all(job, room, fine);
  CHECK(fine.ok());
  CHECK(joint(layouts[0], "A/R2").kind == JointKind::cut_to_recessed);
  CHECK(joint(layouts[0], "A/R1").kind == JointKind::recessed);
  CHECK(joint(layouts[0], "A/B1").kind == JointKind::backed_butt);
  state("A/B2", "square");
  Diagnostics wrong;
  lay_all(job, room, wrong);
  CHECK_FALSE(wrong.ok());
}
