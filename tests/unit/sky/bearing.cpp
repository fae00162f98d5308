#include "sky/bearing.h"

#include <catch2/catch.hpp>
#include <cmath>

#include "base/units.h"
#include "job/read.h"

using namespace rakelight;

namespace {

// A long room on the meridian of Greenwich: wall A runs along plan +y, window in wall B at its far end unless told otherwise.
Job a_job(const std::string& site, const std::string& window_wall = "B") {
  const std::string text = "[site]\nlatitude = 51.5\nlongitude = 0\ntime_zone = \"Europe/London\"\n" + site +
                           "\n[room]\ncorners = [[0,0],[0,6000],[4000,6000],[4000,0]]\nheight = 2600\n"
                           "[[window]]\nwall = \"" + window_wall + "\"\nfrom_left = 300\nwidth = 1200\nheight = 1200\n";
  Diagnostics d;
  const auto job = read_job(JobText(text), d);
  INFO(d.to_text("job.toml", text));
  REQUIRE(job);
  return *job;
}

double north_of(const Job& job, Diagnostics& d) { return *located(job, d).north * deg_per_rad; }

}  // namespace

TEST_CASE("a compass bearing plus its declination is the true one") {
  Diagnostics d;
  const SiteSpec east = located(a_job("north = 100\nmagnetic = true\ndeclination = 12.5"), d);
  CHECK(*east.north * deg_per_rad == Approx(112.5).epsilon(1e-12));  // rounding
  CHECK(east.north_from == "100.0° by compass, declination 12.5°");
  CHECK(north_of(a_job("north = 5\nmagnetic = true\ndeclination = -10"), d) == Approx(-5).epsilon(1e-12));
  CHECK(north_of(a_job("north = 100"), d) == Approx(100).epsilon(1e-12));
  // located twice is located once
  Job again = a_job("north = 100\nmagnetic = true\ndeclination = 12.5");
  again.site = east;
  CHECK(north_of(again, d) == Approx(112.5).epsilon(1e-12));
  CHECK(d.all().empty());
}

// The sun stands due south when it culminates; on the meridian of Greenwich that is 12:00 less the equation of time, which
// on 15 April is under half a minute (almanac): at 13:00 British summer time its azimuth is 180° within half a degree.
TEST_CASE("a wall along which the sun ran at noon runs north to south") {
  Diagnostics d;
  // through the window at the far end: the sun stands towards +y, so +y faces south
  const SiteSpec s = located(a_job("seen = { wall = \"A\", at = 2026-04-15T13:00:00 }"), d);
  CHECK(d.all().empty());
  CHECK(*s.north * deg_per_rad == Approx(180).margin(0.5));
  CHECK(s.north_from.find("through window W1") != std::string::npos);
  CHECK(s.north_from.find("opposite") != std::string::npos);
  // the window at the near end: the sun stands towards -y
  const double other = north_of(a_job("seen = { wall = \"A\", at = 2026-04-15T13:00:00 }", "D"), d);
  CHECK(std::remainder(other, 360.0) == Approx(0).margin(0.5));
  // along wall B, which runs along plan +x, through a window at its right end (wall C): +x faces south
  CHECK(north_of(a_job("seen = { wall = \"B\", at = 2026-04-15T13:00:00 }", "C"), d) == Approx(90).margin(0.5));
}

TEST_CASE("the bearing found is the one at which the sun lies in the wall") {
  Diagnostics d;
  for (const char* time : {"2026-06-21T18:40:00", "2026-01-10T10:05:00", "2026-09-30T16:20:00"}) {
    const Job job = a_job(std::string("seen = { wall = \"A\", at = ") + time + " }");
    const SiteSpec s = located(job, d);
    MomentSpec spec;
    spec.name = std::string("then");
    spec.time = job.site.seen->time;
    spec.time.given = true;
    spec.sky = SkyName::clear;
    Job there = job;
    there.site = s;
    const auto m = make_moment(there, spec, d);
    REQUIRE(m);
    CHECK(m->sky.sun_direction.x == Approx(0).margin(1e-12));  // wall A lies in plan x = 0: rounding
    CHECK(m->sky.sun_direction.y > 0);
  }
  CHECK(d.all().empty());
}

TEST_CASE("what cannot have been seen is refused") {
  Diagnostics night, none;
  located(a_job("seen = { wall = \"A\", at = 2026-06-21T23:40:00 }"), night);
  CHECK(night.to_text("j", "").find("under the horizon") != std::string::npos);
  located(a_job("seen = { wall = \"A\", at = 2026-06-21T18:40:00 }", "C"), none);
  CHECK(none.to_text("j", "").find("no window") != std::string::npos);
}
