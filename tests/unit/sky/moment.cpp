#include <catch2/catch.hpp>
#include <cmath>

#include "base/units.h"
#include "sky/sky.h"

using namespace rakelight;

namespace {

LampSpec lamp(const char* name, const char* group) {
  LampSpec l;
  l.name = std::string(name);
  l.group = std::string(group);
  return l;
}

Job a_job(const char* zone) {
  Job job;
  job.site.latitude_deg = 51.5;
  job.site.longitude_deg = 0;
  job.site.latitude_deg.given = job.site.longitude_deg.given = true;
  job.site.time_zone = std::string(zone);
  job.site.time_zone.given = true;
  job.site.time_zone.at = {10, 20};
  job.site.turbidity = 2.5;
  job.lamps = {lamp("hall", "evening"), lamp("desk", ""), lamp("sofa", "evening")};
  return job;
}

MomentSpec at(int year, int month, int day, int hour, int minute) {
  MomentSpec spec;
  spec.name = std::string("then");
  LocalTime t;
  t.year = year, t.month = month, t.day = day, t.hour = hour, t.minute = minute;
  spec.time = t;
  spec.time.given = true;
  spec.time.at = {100, 119};
  spec.sky = SkyName::clear;
  return spec;
}

bool says(const Diagnostics& d, const std::string& words) {
  for (const Diagnostic& x : d.all())
    if (x.wrong.find(words) != std::string::npos || x.right.find(words) != std::string::npos) return true;
  return false;
}

}  // namespace

TEST_CASE("local time becomes an instant by the zone's rules") {
  Diagnostics d;
  auto summer = make_moment(a_job("Europe/London"), at(2026, 6, 21, 20, 40), d);
  REQUIRE(summer);
  CHECK(summer->at_text == "2026-06-21 20:40 +01:00");
  CHECK(summer->jd_ut == Approx(julian_date(2026, 6, 21, 19, 40, 0)).epsilon(0).margin(1e-9));
  CHECK(summer->sky_text == "clear");
  CHECK(summer->sky.iso_type == 12);

  // Sydney keeps summer time on 21 December (+11) and not on 21 June (+10)
  auto december = make_moment(a_job("Australia/Sydney"), at(2026, 12, 21, 19, 0), d);
  auto june = make_moment(a_job("Australia/Sydney"), at(2026, 6, 21, 7, 30), d);
  REQUIRE(december);
  REQUIRE(june);
  CHECK(december->at_text == "2026-12-21 19:00 +11:00");
  CHECK(december->jd_ut == Approx(julian_date(2026, 12, 21, 8, 0, 0)).epsilon(0).margin(1e-9));
  CHECK(june->jd_ut == Approx(julian_date(2026, 6, 20, 21, 30, 0)).epsilon(0).margin(1e-9));
  CHECK(d.all().empty());
}

// The United Kingdom's clocks go from 01:00 to 02:00 on 29 March 2026 and from 02:00 back to 01:00 on 25 October.
TEST_CASE("a skipped or doubled time is refused, with both offsets") {
  for (auto [spec, what] : {std::pair{at(2026, 3, 29, 1, 30), "does not exist"}, std::pair{at(2026, 10, 25, 1, 30), "comes twice"}}) {
    Diagnostics d;
    CHECK(!make_moment(a_job("Europe/London"), spec, d));
    REQUIRE(d.all().size() == 1);
    CHECK(d.all()[0].at.begin == 100);
    CHECK(says(d, what));
    CHECK(says(d, "01:30:00+00:00"));
    CHECK(says(d, "01:30:00+01:00"));
  }
  // Sydney: first Sunday of October 2026 skips 02:30, first Sunday of April doubles it
  Diagnostics d;
  CHECK(!make_moment(a_job("Australia/Sydney"), at(2026, 10, 4, 2, 30), d));
  CHECK(says(d, "does not exist"));
  Diagnostics e;
  CHECK(!make_moment(a_job("Australia/Sydney"), at(2026, 4, 5, 2, 30), e));
  CHECK(says(e, "comes twice"));
  CHECK(says(e, "+11:00"));
  CHECK(says(e, "+10:00"));
}

TEST_CASE("an offset settles a doubled time") {
  for (int offset : {0, 60}) {
    MomentSpec spec = at(2026, 10, 25, 1, 30);
    spec.time.value.offset_minutes = offset;
    Diagnostics d;
    auto m = make_moment(a_job("Europe/London"), spec, d);
    REQUIRE(m);
    CHECK(d.all().empty());
    CHECK(m->jd_ut == Approx(julian_date(2026, 10, 25, 1, 30 - offset, 0)).epsilon(0).margin(1e-9));
    CHECK(m->at_text == (offset ? "2026-10-25 01:30 +01:00" : "2026-10-25 01:30 +00:00"));
  }
  // an offset that the zone does not keep is an instant all the same, told on the site's clocks
  MomentSpec spec = at(2026, 6, 21, 12, 0);
  spec.time.value.offset_minutes = 0;
  Diagnostics d;
  auto m = make_moment(a_job("Europe/London"), spec, d);
  REQUIRE(m);
  CHECK(m->at_text == "2026-06-21 13:00 +01:00");
  REQUIRE(d.all().size() == 1);
  CHECK(d.all()[0].level == Diagnostic::Level::warning);
}

TEST_CASE("what is missing or misspelt is said") {
  Diagnostics zone;
  CHECK(!make_moment(a_job("Europe/Lonodn"), at(2026, 6, 21, 12, 0), zone));
  CHECK(says(zone, "did you mean \"Europe/London\"?"));
  CHECK(zone.all()[0].at.begin == 10);

  Job nowhere = a_job("");
  nowhere.site.latitude_deg.given = nowhere.site.longitude_deg.given = false;
  Diagnostics site;
  CHECK(!make_moment(nowhere, at(2026, 6, 21, 12, 0), site));
  CHECK(says(site, "latitude and longitude"));

  MomentSpec timeless = at(2026, 6, 21, 12, 0);
  timeless.time.given = false;
  Diagnostics time;
  CHECK(!make_moment(a_job("Europe/London"), timeless, time));
  CHECK(says(time, "no time"));

  Diagnostics no_zone;
  CHECK(!make_moment(a_job(""), at(2026, 6, 21, 12, 0), no_zone));
  CHECK(says(no_zone, "time_zone"));

  for (auto wrong : {at(2026, 2, 30, 12, 0), at(2026, 13, 1, 12, 0),
                     at(2026, 0, 1, 12, 0), at(2026, 6, 21, 24, 0), at(2026, 6, -3, 1, 0)}) {
    Diagnostics d;
    CHECK(!make_moment(a_job("Europe/London"), wrong, d));
    CHECK(says(d, "no such date"));
  }
  MomentSpec sixteen = at(2026, 6, 21, 12, 0);
  sixteen.sky = SkyName::iso_type;
  sixteen.iso_type = 16;
  Diagnostics type;
  CHECK(!make_moment(a_job("Europe/London"), sixteen, type));
  CHECK(says(type, "1 to 15"));
}

TEST_CASE("errors that stood before do not stop a moment") {
  Diagnostics d;
  d.error({}, "something else", "");
  CHECK(make_moment(a_job("Europe/London"), at(2026, 6, 21, 12, 0), d));
}

TEST_CASE("lamps by name, group or all; lamps alone need no site") {
  Job job = a_job("");
  job.site.latitude_deg.given = job.site.longitude_deg.given = false;
  MomentSpec spec;
  spec.name = std::string("lamps");
  spec.sky = SkyName::none;
  Diagnostics d;
  auto off = make_moment(job, spec, d);
  REQUIRE(off);
  CHECK(off->sky.dark);
  CHECK(off->sky_text == "none");
  CHECK(off->at_text.empty());
  CHECK(off->lamp_on == std::vector<double>{0, 0, 0});
  spec.lamps = std::vector<std::string>{"evening"};
  CHECK(make_moment(job, spec, d)->lamp_on == std::vector<double>{1, 0, 1});
  spec.lamps = std::vector<std::string>{"desk"};
  CHECK(make_moment(job, spec, d)->lamp_on == std::vector<double>{0, 1, 0});
  spec.lamps = std::vector<std::string>{};
  spec.all_lamps = true;
  CHECK(make_moment(job, spec, d)->lamp_on == std::vector<double>{1, 1, 1});
  CHECK(d.all().empty());
  spec.lamps = std::vector<std::string>{"dsk"};
  CHECK(!make_moment(job, spec, d));
  CHECK(says(d, "did you mean \"desk\"?"));
}

TEST_CASE("lamps are dimmed, and hand lamps placed, from moment to moment") {
  Job job = a_job("");
  job.lamps[1].kind = LampKind::hand;
  job.lamps[1].position = dvec3(1, 2, 1);
  job.lamps[1].aim = dvec3(0, 1, 0);
  MomentSpec spec;
  spec.name = std::string("lamps");
  spec.sky = SkyName::none;
  spec.lamps = std::vector<std::string>{"evening", "desk"};
  spec.lamp_uses.resize(2);
  spec.lamp_uses[0].dim = 0.3;
  spec.lamp_uses[1].position = dvec3(3, 1, 1.5);
  spec.lamp_uses[1].position.given = true;
  Diagnostics d;
  const auto m = make_moment(job, spec, d);
  REQUIRE(m);
  CHECK(m->lamp_on == std::vector<double>{0.3, 1, 0.3});
  REQUIRE(m->held.size() == 1);
  CHECK(m->held[0].lamp == 1);
  CHECK(m->held[0].position == dvec3(3, 1, 1.5));
  CHECK(m->held[0].aim == dvec3(0, 1, 0));  // as under its [[lamp]]
  // a later item overrides; only hand lamps move
  spec.lamps = std::vector<std::string>{"desk", "desk"};
  spec.lamp_uses[0] = LampUse();
  spec.lamp_uses[1].dim = 0.6;
  CHECK(make_moment(job, spec, d)->lamp_on == std::vector<double>{0, 0.6, 0});
  CHECK(d.all().empty());
  job.lamps[1].kind = LampKind::pendant;
  CHECK(!make_moment(job, spec, d));
  CHECK(says(d, "kind = \"hand\""));
}

TEST_CASE("a moment by its time alone") {
  Job job = a_job("Europe/London");
  Diagnostics d;
  for (const char* text : {"2026-06-21T20:40", "2026-06-21 20:40", "2026-06-21T20:40:00", "2026-06-21T20:40+01:00",
                           "2026-06-21 20:40 +01:00", "2026-06-21T19:40Z" }) {
    auto m = moment_at(job, text, d);
    CAPTURE(text);
    REQUIRE(m);
    CHECK(m->jd_ut == Approx(julian_date(2026, 6, 21, 19, 40, 0)).epsilon(0).margin(1e-9));
    CHECK(m->sky_text == "clear");
    CHECK(m->lamp_on == std::vector<double>{0, 0, 0});
  }
  // Z is an offset that London does not keep in June, which is worth a warning and no more
  CHECK(d.ok());
  for (const char* text : {"", "noon", "2026-06-21", "2026-6-21T20:40", "2026-06-21T20:40+1",
                           "2026-06-21T20:40:00 in the evening", "2026-06-21T20:4x"}) {
    Diagnostics bad;
    CAPTURE(text);
    CHECK(!moment_at(job, text, bad));
    CHECK(says(bad, "no local time"));
  }
}

TEST_CASE("all moments of a job, without those that are wrong") {
  Job job = a_job("Europe/London");
  job.moments = {at(2026, 6, 21, 12, 0), at(2026, 3, 29, 1, 30), at(2026, 12, 21, 12, 0)};
  Diagnostics d;
  CHECK(make_moments(job, d).size() == 2);
  CHECK(!d.ok());
}

// Declination of the sun: +23.4° in June, 0° at the equinox, -23.4° in December (almanac).
TEST_CASE("without a climate the season chooses the sky, the other way round in the south") {
  const auto type_on = [](double latitude_deg, int month) {
    SiteSpec site;
    site.latitude_deg = latitude_deg;
    return season_type(site, julian_date(2026, month, 21, 12, 0, 0));
  };
  CHECK(type_on(55, 6) == clear_type);
  CHECK(type_on(55, 3) == intermediate_type);
  CHECK(type_on(55, 12) == overcast_type);
  CHECK(type_on(-34, 6) == overcast_type);
  CHECK(type_on(-34, 9) == intermediate_type);
  CHECK(type_on(-34, 12) == clear_type);
  CHECK(type_on(10, 12) == clear_type);
  Diagnostics d;
  MomentSpec spec = at(2026, 12, 21, 12, 0);
  spec.sky = SkyName::automatic;
  const auto m = make_moment(a_job("Europe/London"), spec, d);
  REQUIRE(m);
  CHECK(m->sky_text == "auto: overcast");
  CHECK(m->sky.iso_type == 1);
  CHECK(m->sky.note.find("season") != std::string::npos);
}

// Matsuura & Iwata 1990 as widely copied (from memory), relative to its zenith, sun at 45°: 3.57 at the sun. Type 7 is
// the nearest of the partly cloudy types; all of 6 to 10 are compared.
TEST_CASE("the intermediate sky is the type nearest to the older intermediate sky round the sun") {
  const auto older = [](double altitude, double sun, double away) {
    const double eta = pi / 2 - altitude, zt = pi / 2 - sun;
    return ((1.35 * std::sin(5.631 - 3.59 * eta) + 3.12) * std::sin(4.396 - 2.6 * zt) + 6.37 - eta) / 2.326 *
           std::exp(-0.563 * away * ((2.629 - eta) * (1.562 - zt) + 0.812));
  };
  const double sun = pi / 4;
  const double wanted = older(sun, sun, 0) / older(pi / 2, sun, pi / 4);
  CHECK(wanted == Approx(3.57).margin(0.02));
  int best = 0;
  double least = 1e9;
  for (int type = 6; type <= 10; ++type) {
    const IsoType t = iso_type(type);
    SkyState s;
    s.a = t.a, s.b = t.b, s.c = t.c, s.d = t.d, s.e = t.e;
    s.zenith_luminance = 1;
    s.indicatrix_sun = {0, std::cos(sun), std::sin(sun)};
    const double off = std::abs(sky_luminance(s, s.indicatrix_sun) / wanted - 1);
    if (off < least) {
      least = off;
      best = type;
    }
  }
  CHECK(best == intermediate_type);
  CHECK(least < 0.02);
}
