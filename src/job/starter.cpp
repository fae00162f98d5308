#include "job/read.h"

namespace rakelight {

std::string starter_job() {
  return R"(# A room to start from. It is invented: change what is not so on your site.
# Lengths are millimetres, angles degrees, times the clock on the wall.
format = 1
title = "My room"

[site]
latitude = 52.5              # degrees north
longitude = 0.0              # degrees east, west is negative
time_zone = "Europe/London"
north = 300                  # compass bearing of "up" on the plan, clockwise from true north
skyline = 3                  # how high roofs and trees stand all round

[room]
# Corners in plan, walked clockwise, so that each wall runs left to right seen from inside.
corners = [[0, 0], [0, 5000], [4000, 5000], [4000, 0]]
walls = ["long", "window", "party", "door"]   # one name per corner: "long" runs from corner 1 to corner 2
height = 2500

[[window]]
name = "W1"
wall = "window"
from_left = 300              # from the wall's left end, seen from inside
sill = 850
width = 1500
height = 1400
reveal = 180                 # from the wall's face back to the glass
glazing = "double"

[[door]]
wall = "door"
from_left = 500
width = 826
height = 2040

[[lamp]]
name = "downlight"
kind = "downlight"
at = [300, 2500, 2500]       # x and y on plan, height above the floor
flux = 700                   # lumen
beam = 60                    # full width at half intensity
group = "evening"

[[surface]]
name = "long"                # a wall, or "ceiling"
run = "horizontal"           # horizontal or upright
sheet = [1200, 3000]
level = "4"
paint = "matt"

[finishing]
scheme = "c840"
workmanship = "everyday"     # careful, everyday or rough

[[moment]]
name = "low sun, midsummer evening"
at = 2026-06-21T20:30:00
sky = "clear"                # clear, overcast, none, or an ISO 15469 type 1 to 15

[[moment]]
name = "overcast noon"
at = 2026-06-21T12:00:00
sky = "overcast"

[[moment]]
name = "lamps alone"
sky = "none"
lamps = ["evening"]

[[viewer]]
name = "doorway"
eye = [3100, 500, 1600]
look = "long"
)";
}

}  // namespace rakelight
