// One sheet to fill in on site, in the order in which the window's "Start my room" asks.
#include <fmt/format.h>

#include "base/text.h"
#include "report/measures.h"
#include "report/paper.h"

namespace rakelight {
namespace {

/// A plan to sketch the room on.
Plate sketch_grid(bool inches) {
  Plate f;
  f.drawing.width = 180;
  f.drawing.height = 36;
  for (int i = 0; i <= 36; ++i) f.drawing.line({i * 5.0, 0}, {i * 5.0, 35}, i % 2 == 0 ? "#bbbbbb" : "#e2e2e2", 0.15);
  for (int i = 0; i <= 7; ++i) f.drawing.line({0, i * 5.0}, {180, i * 5.0}, i % 2 == 0 ? "#bbbbbb" : "#e2e2e2", 0.15);
  f.drawing.box({0, 0}, {180, 35}, "", "#000000", 0.3);
  f.caption = fmt::format("Sketch of the plan, window wall and north arrow on it; a square is about {}. Walls are named so that each runs left to right seen from inside.", inches ? "1 ft" : "0.5 m");
  f.alt = "a grid to sketch the plan on";
  f.most_height = 36;
  return f;
}

}  // namespace

Paper survey_paper(PageSize page, bool inches) {
  const std::string mm = inches ? "in" : "mm";
  Paper paper;
  paper.title = "Site survey for a room with boarded walls";
  paper.page = page;
  paper.language = inches ? "en-US" : "en-GB";
  paper.foot = fmt::format("Worth most: which way the plan points, and how far each window or lamp is from the wall it rakes · Rakelight {}", program_version());
  PaperSection s{"Site survey: what rakes these walls", {}, 1};
  std::vector<PaperBlock>& out = s.blocks;
  out.push_back(Blanks{{{"Job", ""}, {"Date", ""}, {"Room", ""}, {"Measured by", ""}}});
  out.push_back(Headline{"1 The room", 2});
  out.push_back(Blanks{{{fmt::format("Length of the long wall, {}", mm), ""}, {fmt::format("Width of the room, {}", mm), ""}, {fmt::format("Floor to ceiling, {}", mm), ""}, {"Diagonals, if it is not square", ""}}});
  out.push_back(sketch_grid(inches));
  out.push_back(Headline{"2 Where it is, and which way it points", 2});
  out.push_back(Para{"Either the bearing of the plan's upward direction, clockwise from north (compass: write the declination too), or the sun method: the minute at which the sun first runs along a wall."});
  out.push_back(Blanks{{{"Place or time zone", ""}, {"Bearing, degrees", ""}, {"Compass declination, degrees east", ""}, {"Sun along wall", ""}, {"on (date) at (time)", ""}}});
  out.push_back(Headline{"3 Windows and doors", 2});
  Grid windows{{"window or door", "wall", fmt::format("left end to edge, {}", mm), fmt::format("width, {}", mm), fmt::format("sill, {}", mm), fmt::format("head to ceiling, {}", mm), fmt::format("reveal, {}", mm), "panes, cover"}, {}, {}, true};
  for (int i = 0; i < 3; ++i) windows.rows.push_back({std::to_string(i + 1), "", "", "", "", "", "", ""});
  out.push_back(windows);
  out.push_back(Para{"Left end: standing inside, facing that wall. The edge nearest to the wall that it rakes is the one that counts: measure it twice."});
  out.push_back(Headline{"4 Lamps, now and planned", 2});
  Grid lamps{{"lamp", "kind", fmt::format("off the nearest wall, {}", mm), fmt::format("along it from the left, {}", mm), fmt::format("above the floor, {}", mm), "lumen, beam"}, {}, {}, true};
  for (int i = 0; i < 3; ++i) lamps.rows.push_back({std::to_string(i + 1), "", "", "", "", ""});
  out.push_back(lamps);
  out.push_back(Headline{"5 What stands outside", 2});
  out.push_back(Blanks{{{"Skyline, degrees high (a fist held out is 10)", ""}, {"Ground: grass, paving, gravel, snow, water", ""}}});
  out.push_back(Headline{"6 Framing and boards", 2});
  out.push_back(Blanks{{{fmt::format("Spacing of studs or battens, {}", mm), ""}, {"They run: upright / level", ""}, {fmt::format("Largest gap under a rule of {}, {}", inches ? "6 ft" : "1,800 mm", mm), ""}, {fmt::format("on wall, at ({})", mm), ""},
                      {fmt::format("Sheets, width by length, {}", mm), ""}, {"Long edges: recessed / square / other", ""}}});
  out.push_back(Headline{"7 Finish, paint, and where people sit", 2});
  out.push_back(Blanks{{{"Level asked for, and by which scheme", ""}, {"Paint: dead matt / matt / low sheen / satin / gloss", ""}, {"Gloss at 60° and 85°, if known", ""}, {"Colour: white / off-white / mid / dark", ""}, {"Seats face wall", ""}, {"Anything else", ""}}});
  paper.sections = {s};
  return paper;
}

}  // namespace rakelight
