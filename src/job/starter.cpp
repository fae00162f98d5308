#include "job/starter.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

#include "base/text.h"
#include "base/units.h"
#include "job/zones.h"

namespace rakelight {
namespace {

std::string site_text(const FirstRoom& room) {
  const auto city = zone_city(room.zone);
  std::string text = fmt::format("[site]\ntime_zone = \"{}\"\n", room.zone);
  if (city)
    text += fmt::format("# The sun is {}'s until it is said where the room is:\n# latitude = {:.1f}            # degrees north, south is negative\n# longitude = {:.1f}           # degrees east, west is negative\n",
                        city->city, city->latitude_deg, city->longitude_deg);
  return text + fmt::format("north = {}                  # compass bearing of \"up\" on the plan, clockwise from true north: the way the window looks\n"
                            "skyline = 3                  # how high roofs and trees stand all round\n",
                            number_text(room.north_deg));
}

std::string moments_text(const FirstRoom& room) {
  const auto city = zone_city(room.zone);
  const bool south = city && city->latitude_deg < 0;
  struct When { const char *name, *north, *south, *sky; };
  static constexpr When times[] = {{"midsummer evening", "06-21T20:00", "12-21T20:00", "clear"},
                                   {"midsummer morning", "06-21T07:30", "12-21T07:30", "clear"},
                                   {"March afternoon", "03-20T16:30", "03-20T16:30", "clear"},
                                   {"overcast noon before winter", "11-10T12:00", "05-10T12:00", "overcast"}};
  std::string text;
  for (const When& time : times) {
    text += fmt::format("\n[[moment]]\nname = \"{}\"\nat = 2026-{}:00\nsky = \"{}\"", time.name, south ? time.south : time.north, time.sky);
    text += &time == times ? "                # clear, overcast, none, or an ISO 15469 type 1 to 15\n" : "\n";
  }
  return text;
}

}  // namespace

std::string starter_job(const FirstRoom& room) {
  const double length = std::round(room.length * mm_per_m), width = std::round(room.width * mm_per_m), height = std::round(room.height * mm_per_m);
  // sizes that fit the smallest room that is taken, too
  const double opening = std::min(1500.0, std::round(0.5 * width)), from_left = std::round(std::min(300.0, 0.2 * width));
  const double sill = std::round(std::min(850.0, 0.34 * height)), window_height = std::round(std::min(1400.0, height - sill - 150));
  const double door = std::min(826.0, std::round(0.5 * width)), door_left = std::round(std::max(0.0, std::min(500.0, width - door)));
  const auto n = [&](double v) { return number_text(room.inches ? std::round(8 * v / mm_per_inch) / 8 : v); };
  std::string text = room.invented ? "# A room to start from. It is invented: change what is not so on your site.\n"
                                   : "# A room of your own. What you did not say is assumed: change what is not so on your site.\n";
  text += room.inches ? "# Lengths are inches, or feet and inches as 8' 6-1/2\", angles degrees, times the clock on the wall.\nformat = 1\nunits = \"inch\"\n"
                      : "# Lengths are millimetres, angles degrees, times the clock on the wall.\nformat = 1\n";
  text += "title = \"My room\"\n\n" + site_text(room);
  text += fmt::format(R"(
[room]
# Corners in plan, walked clockwise, so that each wall runs left to right seen from inside.
corners = [[0, 0], [0, {0}], [{1}, {0}], [{1}, 0]]
walls = ["long", "window", "party", "door"]   # one name per corner: "long" runs from corner 1 to corner 2
height = {2}

[[window]]
name = "W1"
wall = "window"
from_left = {3}              # from the wall's left end, seen from inside
sill = {4}
width = {5}
height = {6}
reveal = {10:<19} # from the wall's face back to the glass
glazing = "double"

[[door]]
wall = "door"
from_left = {7}
width = {8}
height = {9}
)",
                      n(length), n(width), n(height), n(from_left), n(sill), n(opening), n(window_height), n(door_left), n(door), n(std::min(2040.0, height - 100)), n(180));
  if (room.invented)
    text += fmt::format(R"(
[[lamp]]
name = "downlight"
kind = "downlight"
at = [{}, {}, {}]       # x and y on plan, height above the floor
flux = 700                   # lumen
beam = 60                    # full width at half intensity
group = "evening"
)",
                        n(from_left), n(std::round(0.5 * length)), n(height));
  text += R"(
[[surface]]
name = "long"                # a wall, or "ceiling"
run = "horizontal"           # horizontal or upright
)";
  text += room.inches ? "sheet = [48, 120]            # 4 by 10 feet\n" : "sheet = [1200, 3000]\n";
  text += R"(level = "4"
paint = "matt"

[finishing]
scheme = "c840"
workmanship = "everyday"     # careful, everyday or rough
)";
  text += moments_text(room);
  if (room.invented)
    text += fmt::format(R"(
[[moment]]
name = "lamps alone"
sky = "none"
lamps = ["evening"]

[[viewer]]
name = "doorway"
eye = [{}, {}, {}]
look = "long"
)",
                        n(std::max(0.5 * width, width - 900)), n(std::min(500.0, 0.5 * length)), n(std::min(1600.0, height - 200)));
  return text;
}

}  // namespace rakelight
