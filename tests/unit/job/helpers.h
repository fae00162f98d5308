#pragma once
#include <catch2/catch.hpp>
#include <string>

#include "job/read.h"

namespace rakelight {

/// The job-file example of the design, cut down to what is supported.
inline const std::string example = R"(format = 1                   # rises only when a meaning changes
title = "Top-floor flat, long room"

[site]
latitude = 55.95
longitude = -3.19            # degrees east
time_zone = "Europe/London"
north = 293
skyline = 3
ground_reflectance = 0.2
skyline_reflectance = 0.15
haze = "hazy"

[room]
corners = [[0,0],[0,6200],[4200,6200],[4200,0]]
walls   = ["long", "street", "party", "door"]
height  = 2650
floor_reflectance = 0.3

[[window]]
name = "W1"
wall = "street"
from_left = 250
sill = 800
width = 1500
height = 1500
reveal = 200
reveal_reflectance = 0.6
frame = 60
glazing = "single"
cover = "none"

[[door]]
wall = "door"
from_left = 900
width = 830
height = 2000

[[lamp]]
name = "wall downlight"
kind = "downlight"
at = [300, 3000, 2650]
aim = [0, 0.5, -1]
turn = 0
size = 90
flux = 650
beam = 36
group = "evening"

[[surface]]
name = "long"
run = "upright"
sheet = [1200, 3600]
edge = "tapered"
backing = "none"
level = "5"
paint = { gloss60 = 4, gloss85 = 8, texture = "none" }
reflectance = 0.82
system = "none"

[[surface]]
name = "ceiling"
run = "street"
paint = "flat"

[finishing]
scheme = "c840"
workmanship = "careful"
compound = ["setting", "drying"]
tools = [300, 150, 200]

[[joint]]
id = "long/B1"
width = 560

[[moment]]
name = "evening sun, midsummer"
at = 2026-06-21T20:40:00
sky = "clear"
lamps = "off"

[[moment]]
name = "by offset"
at = 2026-12-21T09:05:30.5+02:30
sky = 12
lamps = ["wall downlight", "evening"]

[[moment]]
name = "lamps"
sky = "none"
lamps = "on"

[[viewer]]
name = "doorway"
eye = [3600, 600, 1600]
look = "long"

[[viewer]]
name = "to a point"
eye = [3600, 600, 1600]
look = [0, 3100, 1300]

[verdict]
gain = 1.5
band = 3
faint = 0.9
shows = 5
chance = 0.2
age = 60
)";

/// Reads text that must be right.
inline Job good(const std::string& text) {
  Diagnostics diagnostics;
  const auto job = read_job(JobText(text), diagnostics);
  INFO(diagnostics.to_text("job.toml", text));
  REQUIRE(job);
  REQUIRE(diagnostics.all().empty());
  return *job;
}

/// Everything reported on text that must be wrong.
inline std::string bad(const std::string& text) {
  Diagnostics diagnostics;
  const auto job = read_job(JobText(text), diagnostics);
  CHECK_FALSE(job);
  CHECK_FALSE(diagnostics.ok());
  return diagnostics.to_text("job.toml", text);
}

/// `text` with the one place that reads `from` changed to `to`.
inline std::string changed(std::string text, const std::string& from, const std::string& to) {
  const auto at = text.find(from);
  REQUIRE(at != std::string::npos);
  return text.replace(at, from.size(), to);
}

/// The smallest job.
inline const std::string smallest = "[room]\ncorners = [[0,0],[0,3000],[3000,3000],[3000,0]]\nheight = 2400\n";

}  // namespace rakelight
