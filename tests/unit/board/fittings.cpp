// Corners, junctions, beads and fixings: where they fall and what covers them.
#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>

#include "board/board.h"
#include "unit/room/rooms.h"

using namespace rakelight;

namespace {

std::vector<JointLine> of_kind(const Layout& layout, JointKind kind) {
  std::vector<JointLine> out;
  std::copy_if(layout.joints.begin(), layout.joints.end(), std::back_inserter(out), [&](const JointLine& j) { return j.kind == kind; });
  return out;
}

Approx near(double v) { return Approx(v).margin(1e-9).epsilon(0); }

/// A wall of 6.2 by 2.65 m with horizontal sheets of 1.2 by 3.0 m.
Job wall() {
  Job job = long_room();
  job.surfaces.push_back(boarded("A", {1.2, 3.0}));
  job.surfaces.back().cornice.value = 0.09;
  job.surfaces.back().skirting.value = 0.10;
  job.surfaces.back().fixing_spacing.value = 0.3;
  return job;
}

}  // namespace

TEST_CASE("nothing but joints between sheets unless the job says so", "[board]") {
  const Job job = wall();
  for (const JointLine& j : lay_sheets(job, room_of(job), 0, Run::horizontal).joints) CHECK(joins_sheets(j.kind));
}

TEST_CASE("corners and the junction with the ceiling are worked into the face", "[board]") {
  Job job = wall();
  SurfaceSpec& spec = job.surfaces.back();
  spec.corners.value = CornerSpec::taped;
  spec.junction_top.value = TopJunctionSpec::square_set;
  const Layout layout = lay_sheets(job, room_of(job), 0, Run::horizontal);
  const auto corners = of_kind(layout, JointKind::internal_corner), top = of_kind(layout, JointKind::square_set);
  REQUIRE(corners.size() == 2);
  REQUIRE(top.size() == 1);
  CHECK(corners[0].id == "A/I1");
  CHECK(top[0].id == "A/J1");
  CHECK(corners[0].from.x == near(0));
  CHECK(corners[1].from.x == near(6.2));
  CHECK(top[0].from.y == near(2.65));
  // the face lies to the right of each line
  CHECK(corners[0].across().x == near(1));
  CHECK(corners[1].across().x == near(-1));
  CHECK(top[0].across().y == near(-1));
  // joints that run beside the ceiling: the recessed joint at 2400 leaves it half of 250
  CHECK(top[0].room_right == near(0.125));
  // a plan with a corner that stands out: beaded
  Job l_shaped = wall();
  l_shaped.room.corners.value = {{0, 0}, {0, 6.2}, {2, 6.2}, {2, 3}, {4.2, 3}, {4.2, 0}};
  l_shaped.room.walls.clear();
  for (const char* name : {"A", "B", "C", "D", "E", "F"}) l_shaped.room.walls.emplace_back(std::string(name));
  l_shaped.windows.clear();
  l_shaped.doors.clear();
  l_shaped.surfaces.clear();
  for (const char* name : {"C", "D"}) {
    l_shaped.surfaces.push_back(boarded(name, {1.2, 3.0}));
    l_shaped.surfaces.back().corners.value = CornerSpec::taped;
  }
  const Room room = room_of(l_shaped);
  for (int face : {2, 3}) {
    const Layout standing_out = lay_sheets(l_shaped, room, face, Run::horizontal);
    CHECK(of_kind(standing_out, JointKind::external_corner).size() == 1);
    CHECK(of_kind(standing_out, JointKind::internal_corner).size() == 1);
  }
}

TEST_CASE("cornice and skirting cover what lies under them", "[board]") {
  Job job = wall();
  SurfaceSpec& spec = job.surfaces.back();
  spec.corners.value = CornerSpec::taped;
  spec.junction_top.value = TopJunctionSpec::cornice;
  spec.junction_bottom.value = FootJunctionSpec::skirting;
  const Room room = room_of(job);
  const Layout layout = lay_sheets(job, room, 0, Run::horizontal);
  CHECK(of_kind(layout, JointKind::square_set).empty());
  for (const JointLine& j : layout.joints) {
    CHECK(std::min(j.from.y, j.to.y) >= 0.10 - 1e-9);
    CHECK(std::max(j.from.y, j.to.y) <= 2.65 - 0.09 + 1e-9);
    if (j.kind == JointKind::butt && j.from.y < 0.11) CHECK(j.runs_on_from);
    if (j.kind == JointKind::butt && j.to.y > 2.5) CHECK(j.runs_on_to);
    if (j.kind == JointKind::recessed) CHECK_FALSE(j.runs_on_from);
  }
  // a joint that lies wholly under a deep cornice is not there to be seen
  spec.cornice.value = 0.30;
  CHECK(of_kind(lay_sheets(job, room, 0, Run::horizontal), JointKind::recessed).size() == 1);
  // a shadow-line bead stops the board 10 mm below the ceiling
  spec.junction_top.value = TopJunctionSpec::shadow_line;
  const auto bead = of_kind(lay_sheets(job, room, 0, Run::horizontal), JointKind::shadow_line);
  REQUIRE(bead.size() == 1);
  CHECK(bead[0].from.y == near(2.64));
  CHECK(bead[0].id == "A/J1");
}

TEST_CASE("a beaded window is worked outwards at jambs and head", "[board]") {
  Job job = wall();
  WindowSpec w;
  w.name.value = "W1";
  w.wall.value = "A";
  w.from_left.value = 2;
  w.sill.value = 0.8;
  w.width.value = 1.5;
  w.height.value = 1.2;
  job.windows = {w};
  const Room room = room_of(job);
  CHECK(of_kind(lay_sheets(job, room, 0, Run::horizontal), JointKind::bead).empty());
  // strips over fixings stop at the opening and go on beyond it
  job.surfaces[0].fixing.value = FixingSpec::screws;
  for (FixingCoatSpec coat : {FixingCoatSpec::spots, FixingCoatSpec::rows}) {
    job.surfaces[0].fixing_coat.value = coat;
    for (const JointLine& row : of_kind(lay_sheets(job, room, 0, Run::horizontal), JointKind::fixings))
      if (row.from.x > 2 && row.from.x < 3.5) CHECK((row.to.y <= 0.8 || row.from.y >= 2.0));
  }
  job.surfaces[0].fixing.value = FixingSpec::none;
  job.windows[0].edge.value = WindowEdgeSpec::bead;
  const auto beads = of_kind(lay_sheets(job, room, 0, Run::horizontal), JointKind::bead);
  REQUIRE(beads.size() == 3);
  const dvec2 middle{2.75, 1.4};
  for (const JointLine& b : beads) CHECK(glm::dot(0.5 * (b.from + b.to) - middle, b.across()) > 0.5);  // away from the opening
}

TEST_CASE("fixings stand along the framing, not where a joint's tape covers them", "[board]") {
  Job job = wall();
  SurfaceSpec& spec = job.surfaces.back();
  spec.fixing.value = FixingSpec::screws;
  const Room room = room_of(job);
  const auto rows = of_kind(lay_sheets(job, room, 0, Run::horizontal), JointKind::fixings);
  // members at 0, 600 … 6000 and 6200, as the first sheet's ends are screwed too
  REQUIRE(rows.size() == 12);
  CHECK(rows[1].id == "A/F2");
  CHECK(rows[1].from.x == near(0.6));
  // by hand, at 600: sheets from 0 to 1200, 1200 to 2400 and 2400 to 2650, screwed 12 mm in from their edges and at
  // 294 mm between; those within 65 mm of the joints at 1200 and 2400 lie under their tape
  const double y[] = {0.012, 0.306, 0.600, 0.894, 1.506, 1.800, 2.094, 2.638};
  REQUIRE(rows[1].spots.size() == 8);
  for (int i = 0; i < 8; ++i) CHECK(rows[1].from.y + rows[1].spots[i] == near(y[i]));
  // the butt at 3000 in the first and third row covers its screws: only the second row's three are left
  const auto at = std::find_if(rows.begin(), rows.end(), [](const JointLine& r) { return std::abs(r.from.x - 3.0) < 1e-9; });
  REQUIRE(at != rows.end());
  CHECK(at->spots.size() == 3);
  // a skirting covers the lowest, a cornice the highest
  spec.junction_bottom.value = FootJunctionSpec::skirting;
  spec.junction_top.value = TopJunctionSpec::cornice;
  CHECK(of_kind(lay_sheets(job, room, 0, Run::horizontal), JointKind::fixings)[1].spots.size() == 6);
  spec.junction_bottom.value = FootJunctionSpec::none;
  spec.junction_top.value = TopJunctionSpec::none;
  // adhesive between: only the sheets' edges are screwed
  spec.fixing.value = FixingSpec::adhesive;
  CHECK(of_kind(lay_sheets(job, room, 0, Run::horizontal), JointKind::fixings)[1].spots.size() == 2);
  // a taped corner covers the ones beside it: the first and the last member's
  spec.fixing.value = FixingSpec::screws;
  spec.corners.value = CornerSpec::taped;
  CHECK(of_kind(lay_sheets(job, room, 0, Run::horizontal), JointKind::fixings).size() == 10);
  spec.corners.value = CornerSpec::none;
  // dabs leave nothing to fill; strips have no spots of their own
  spec.fixing.value = FixingSpec::dabs;
  CHECK(of_kind(lay_sheets(job, room, 0, Run::horizontal), JointKind::fixings).empty());
  spec.fixing.value = FixingSpec::nails;
  spec.fixing_coat.value = FixingCoatSpec::rows;
  for (const JointLine& r : of_kind(lay_sheets(job, room, 0, Run::horizontal), JointKind::fixings)) CHECK(r.spots.empty());
}

TEST_CASE("fixings follow the framing that the job names", "[board]") {
  Job job = wall();
  job.surfaces.back().fixing.value = FixingSpec::screws;
  const Room room = room_of(job);
  job.framing.at = {1, 2};
  job.framing.spacing.value = 0.4;
  job.framing.direction.value = "upright";
  const auto studs = of_kind(lay_sheets(job, room, 0, Run::horizontal), JointKind::fixings);
  // members at 0, 400 … 6000 and 6200
  REQUIRE(studs.size() == 17);
  CHECK(studs[1].from.x == near(0.4));
  job.framing.direction.value = "horizontal";
  const auto battens = of_kind(lay_sheets(job, room, 0, Run::horizontal), JointKind::fixings);
  // battens at 400 … 2400 and both ends; the tape of the joints at 1200 and 2400 covers theirs
  REQUIRE(battens.size() == 6);
  for (const JointLine& row : battens) CHECK(row.from.y == near(row.to.y));
  CHECK(battens[1].from.y == near(0.4));
}
