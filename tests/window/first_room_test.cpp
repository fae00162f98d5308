// "Start my room" and the survey sheet ask the same in the same order, and what was written on the one becomes a job in the other.
#include <catch2/catch.hpp>

#include <algorithm>
#include <fmt/format.h>

#include "job/read.h"
#include "script.h"
#include "small_job.h"
#include "survey_labels.h"
#include "window/edits.h"
#include "window/first_room.h"

namespace rakelight {
namespace {

struct Pair { const char* field; const char* paper; };
/// The window's fields in their order, each with how the words on the sheet begin.
constexpr Pair pairs[] = {
    {"room length", "Length of the long wall"}, {"room width", "Width of the room"}, {"room height", "Floor to ceiling"}, {"room zone", "Place or time zone"}, {"room north", "Bearing, degrees"},
    {"room declination", "Compass declination"}, {"room sun wall", "Sun along wall"}, {"room sun at", "on (date) at (time)"},
    {"room window edge", "left end to edge"}, {"room window width", "width, mm"}, {"room window sill", "sill"}, {"room window head", "head to ceiling"}, {"room window reveal", "reveal"}, {"room window cover", "panes, cover"},
    {"room lamp kind", "kind"}, {"room lamp off", "off the nearest wall"}, {"room lamp along", "along it from the left"}, {"room lamp up", "above the floor"}, {"room lamp flux", "lumen, beam"}, {"room lamp beam", "lumen, beam"},
    {"room skyline", "Skyline"}, {"room ground", "Ground"}, {"room spacing", "Spacing of studs"}, {"room direction", "They run"}, {"room gap", "Largest gap"},
    {"room sheet width", "Sheets, width by length"}, {"room sheet length", "Sheets, width by length"}, {"room edge", "Long edges"}, {"room level", "Level asked for"}, {"room paint", "Paint"}, {"room colour", "Colour"}};
/// What only the sheet has, and why the window does not ask it here.
constexpr Pair paper_only[] = {{"the paper's own head", "Job"}, {"", "Date"}, {"", "Room"}, {"", "Measured by"},
                               {"the outline is dragged or walked round", "Diagonals"},
                               {"the first room has one window in one wall, and a lamp", "window or door"}, {"", "wall"}, {"", "lamp"},
                               {"the reading's place; the framing is one for the job", "on wall, at"},
                               {"more of the paint is typed into the sheet of the job", "Gloss at 60"},
                               {"places to stand are kept while walking", "Seats face wall"}, {"", "Anything else"}};

}  // namespace

TEST_CASE("Start my room asks what the survey sheet asks, in the same order, and the sheet asks nothing else but what is named here") {
  const std::vector<std::string> paper = asked_on_paper();
  std::size_t last = 0;
  std::vector<bool> met(paper.size(), false);
  for (const Pair& pair : pairs) {
    INFO(pair.field << ": " << pair.paper);
    const auto at = std::find_if(paper.begin() + static_cast<std::ptrdiff_t>(last), paper.end(), [&](const std::string& label) { return label.starts_with(pair.paper); });
    REQUIRE(at != paper.end());
    last = static_cast<std::size_t>(at - paper.begin());
    met[last] = true;
  }
  for (std::size_t i = 0; i < paper.size(); ++i) {
    INFO(paper[i]);
    CHECK((met[i] || std::any_of(std::begin(paper_only), std::end(paper_only), [&](const Pair& p) { return paper[i].starts_with(p.paper); })));
  }
  const JobFile job("survey");
  Script s(job.path(), 1280, 1000);
  s.frames(5);
  s.click("start my room");
  s.frames(2);
  dvec2 before(-1e9);
  std::size_t count = 0;
  for (const Pair& pair : pairs) {
    INFO(pair.field);
    const Spot spot = s.spot(pair.field);
    CHECK(spot.lo.y > before.y);  // one below the other
    before = spot.lo;
    ++count;
  }
  CHECK(count == first_questions().size() + 5);
  CHECK(s.window.complaints() == "");
}

TEST_CASE("What was measured for a first room becomes its job; what was left empty stays as usual") {
  FirstRoom room;
  room.invented = false;
  Diagnostics none;
  CHECK(first_job(room, {}, none) == starter_job(room));
  CHECK(none.ok());
  std::map<std::string, std::string> said{{"window edge", "250"}, {"window width", "1200"}, {"window sill", "800"}, {"window head", "300"}, {"window reveal", "150"}, {"window cover", "sheer"},
                                          {"lamp kind", "wall"}, {"lamp off", "120"}, {"lamp along", "2000"}, {"lamp up", "1900"}, {"lamp flux", "400"}, {"skyline", "8"}, {"ground", "0.3"},
                                          {"spacing", "400"}, {"direction", "horizontal"}, {"gap", "3"}, {"sheet length", "2600"}, {"edge", "half-round"}, {"level", "3"}, {"paint", "satin"}, {"colour", "0.4"},
                                          {"sun wall", "street"}, {"sun at", "2026-06-21 18:40"}};
  Diagnostics wrong;
  first_job(room, said, wrong);
  CHECK_FALSE(wrong.ok());  // there is no such wall: the words of check say so
  said["sun wall"] = "long";
  Diagnostics diagnostics;
  const std::string text = first_job(room, said, diagnostics);
  INFO(diagnostics.to_text("job", text));
  REQUIRE(diagnostics.ok());
  const auto job = read_job(JobText(text), diagnostics);
  REQUIRE(job);
  const WindowSpec& w = job->windows.at(0);
  CHECK(*w.from_left == Approx(0.25));
  CHECK(*w.height == Approx(2.5 - 0.8 - 0.3));
  CHECK(*w.reveal == Approx(0.15));
  CHECK(glm::length(*job->lamps.at(0).position - dvec3(0.12, 2, 1.9)) < 1e-9);
  CHECK(job->moments.back().all_lamps);
  CHECK(*job->framing.spacing == Approx(0.4));
  CHECK(job->framing.flatness->x == Approx(0.003));
  CHECK(job->surfaces.at(0).sheet->y == Approx(2.6));
  CHECK(*job->surfaces.at(0).paint.name == "satin");
  CHECK(job->site.seen.given);
  CHECK_FALSE(job->site.north.given);
  // in feet and inches
  room.inches = true;
  Diagnostics inches;
  const std::string feet = first_job(room, {{"window head", "1' 2\""}, {"window sill", "32"}, {"spacing", "16"}, {"gap", "1/8"}}, inches);
  INFO(inches.to_text("job", feet));
  REQUIRE(inches.ok());
  const auto in_feet = read_job(JobText(feet), inches);
  REQUIRE(in_feet);
  CHECK(*in_feet->windows.at(0).height == Approx(2.5 - (32 + 14) * 0.0254).margin(0.001));  // to a sixty-fourth
  CHECK(in_feet->framing.flatness->x == Approx(0.125 * 0.0254));
}

TEST_CASE("A value that a first room cannot have is answered in place; put right, the room begins") {
  const JobFile job("first-room");
  Script s(job.path(), 1280, 1000);
  s.frames(5);
  s.click("start my room");
  s.frames(2);
  s.fill("room window edge", "9000");
  s.click("begin");
  s.frames(2);
  REQUIRE(s.window.spot("room wrong"));
  CHECK(s.window.model().history.now().text == small_job);
  s.fill("room window edge", "240");
  s.click("begin");
  s.frames(3);
  CHECK(s.window.model().history.now().text.find("from_left = 240") != std::string::npos);
  CHECK(s.window.complaints() == "");
}

}  // namespace rakelight
