#include "assess/year.h"

#include <catch2/catch.hpp>
#include <algorithm>
#include <array>
#include <chrono>
#include <cmath>
#include <cstdio>
#include <fmt/format.h>
#include <fstream>
#include <map>
#include <sstream>

#include "base/random.h"
#include "base/units.h"
#include "job/read.h"
#include "support/validated.h"
#include "unit/assess/studies.h"

using namespace rakelight;
using namespace rakelight::testing;

namespace {

/// An oblong room whose window stands in the west wall's middle, between a north and a south wall of 4.8 m, both boarded
/// upright in 1.2 m sheets, so that north and south mirror each other.
std::string room_text(double latitude, const std::string& zone = "UTC") {
  return fmt::format(
      "[site]\nlatitude = {}\nlongitude = 0\ntime_zone = \"{}\"\nnorth = 0\nskyline = 2\nhaze = \"average\"\n"
      // wall "west" runs along plan +y, "north" along +x
      "[room]\ncorners = [[0, 0], [0, 3000], [4800, 3000], [4800, 0]]\nwalls = [\"west\", \"north\", \"east\", \"south\"]\nheight = 2600\n"
      "[[window]]\nwall = \"west\"\nfrom_left = 300\nsill = 800\nwidth = 2400\nheight = 1500\n"
      "[[surface]]\nname = \"north\"\nrun = \"upright\"\nsheet = [1200, 3000]\n[[surface]]\nname = \"south\"\nrun = \"upright\"\nsheet = [1200, 3000]\n"
      "[[moment]]\nat = 2026-06-21T12:00:00\n"
      "[[viewer]]\nname = \"middle\"\neye = [3000, 1500, 1600]\nlook = \"west\"\n",
      latitude, zone);
}

/// A room at a latitude, its model and its year under one sky; made once.
struct Known {
  std::unique_ptr<Study> study;
  std::unique_ptr<YearModel> model;
  Year year;
};
const Known& known(double latitude, int sky_type, bool swept = true) {
  static std::map<std::pair<double, int>, Known> all;
  Known& k = all[{latitude, sky_type}];
  if (!k.study) {
    k.study = study_of(room_text(latitude, "Europe/London"));
    k.model = std::make_unique<YearModel>(*k.study, sky_type);
  }
  if (swept && k.year.days.empty()) k.year = sweep_year(*k.study, *k.model, 2026);
  return k;
}

Moment moment_at_place(const Study& study, DaySun::Place place) {
  Moment m;
  m.name = "then";
  m.sky = make_sky(study.job.site, DaySun::position(*study.job.site.latitude_deg * rad_per_deg, place), clear_type);
  m.lamp_on.assign(study.job.lamps.size(), false);
  return m;
}

/// Visibility of every joint of the study's first boarded face, by assess.
std::vector<double> assessed(Study& study, int surface, const Moment& moment) {
  study.moments.push_back(moment);
  study.lighting.push_back(make_lighting(study.job, study.room, study.basis, moment));
  const SurfaceResult result = assess_surface(study, surface, requested_finish(study, surface), {static_cast<int>(study.moments.size()) - 1});
  study.moments.pop_back();
  study.lighting.pop_back();
  std::vector<double> v;
  for (const JointResult& j : result.joints) v.push_back(j.worst < 0 ? 0 : j.seen[j.worst].judged.visibility);
  return v;
}

}  // namespace

TEST_CASE("the year in the south is the year in the north, mirrored") {
  test::Validated found("the year of a symmetric room at 52° N and 52° S", "each other, mirrored: light at every station", "0.1 %", " %", 100);
  const YearModel &a = *known(52, clear_type).model, &b = *known(-52, clear_type, false).model;
  std::vector<std::vector<YearLook>> at_north, at_south;
  int compared = 0;
  for (const double declination_deg : {-23.0, -10.0, 0.0, 15.0, 23.4})
    for (double hour_deg = -150; hour_deg <= 150; hour_deg += 7.5) {
      const DaySun::Place there{hour_deg * rad_per_deg, declination_deg * rad_per_deg}, mirrored{there.hour_angle, -there.declination};
      a.look(there, at_north);
      b.look(mirrored, at_south);
      for (int face = 0; face < 2; ++face) {
        const auto& here = at_north[static_cast<std::size_t>(face)];
        const auto& other = at_south[static_cast<std::size_t>(1 - face)];
        REQUIRE(here.size() == other.size());
        for (std::size_t j = 0; j < here.size(); ++j) {
          const YearLook& mirror = other[other.size() - 1 - j];
          CAPTURE(declination_deg, hour_deg, face, j);
          // the sheen's fixed rays are not mirrored: they leave a few thousandths
          CHECK(here[j].visibility == Approx(mirror.visibility).epsilon(0.02).margin(0.02));
          const int opposite = static_cast<int>(here.size() - 1 - j);
          const std::vector<double>& others = b.stations(1 - face, opposite);
          for (const double along : a.stations(face, static_cast<int>(j))) {
            if (std::none_of(others.begin(), others.end(), [&](double s) { return std::abs(s - along) < 1e-9; })) continue;
            const LightVector e = a.light(there, face, static_cast<int>(j), along), f = b.light(mirrored, 1 - face, opposite, along);
            if (f.n > 1) found.off(e.n / f.n - 1);
            CHECK(e.n == Approx(f.n).epsilon(1e-3).margin(1e-3));  // tables in float, patches laid from the other end
            ++compared;
          }
        }
      }
    }
  CHECK(compared > 800);
}

// Sunrise at −0.833° by the almanac's low-precision sun (docs/reference/optics.md section 1, good to 0.012°) and the
// closed form cos H = (sin h0 − sin φ sin δ) / (cos φ cos δ).
TEST_CASE("sunrise and sunset are the closed form's; polar night and day have neither") {
  test::Validated validated("sunrise and sunset", "closed form with the almanac's sun, 365 days", "0.25 min", " min");
  const Year& year = known(52, overcast_type).year;
  REQUIRE(year.days.size() == 365);
  for (const YearDay& d : year.days) {
    for (const bool rising : {true, false}) {
      const double found = rising ? d.sunrise : d.sunset;
      REQUIRE(std::isfinite(found));
      const double n = found - 2451545.0, l = 280.460 + 0.9856474 * n, g = (357.528 + 0.9856003 * n) * rad_per_deg;
      const double lambda = (l + 1.915 * std::sin(g) + 0.020 * std::sin(2 * g)) * rad_per_deg, obliquity = 23.439 * rad_per_deg;
      const double declination = std::asin(std::sin(obliquity) * std::sin(lambda));
      const double ascension = std::atan2(std::cos(obliquity) * std::sin(lambda), std::cos(lambda));
      const double phi = 52 * rad_per_deg;
      const double hour = std::acos((std::sin(-0.833 * rad_per_deg) - std::sin(phi) * std::sin(declination)) / (std::cos(phi) * std::cos(declination)));
      const double sidereal = (280.46061837 + 360.98564736629 * n) * rad_per_deg;  // Greenwich mean, Meeus 1998 eq. 12.4
      const double actual = std::remainder(sidereal - ascension, 2 * pi);
      CAPTURE(d.month, d.day, rising);
      // 0.012° of the almanac at a sun that climbs 0.1° a minute there at least
      CHECK(validated.off(std::abs(std::abs(actual) - hour) * deg_per_rad * 4) < 0.25);  // minutes
      CHECK((actual < 0) == rising);
    }
    CHECK(d.light);
  }
  const Year& polar = known(78, clear_type).year;
  for (const YearDay& d : polar.days) {
    CAPTURE(d.month, d.day);
    if (d.month == 12) {
      // the sun stays 11° down at best: no rise, no set, nothing but faint twilight at noon
      CHECK_FALSE(d.light);
      CHECK(std::isnan(d.sunrise));
      for (const auto& runs : d.runs)
        for (const YearRun& run : runs) CHECK(run.verdict != Verdict::shows);
    }
    if (d.month == 6) {
      CHECK(d.light);
      CHECK(std::isnan(d.sunset));
    }
  }
}

TEST_CASE("stretches lie in their days, in order, and add up to the hours") {
  const Year& year = known(52, clear_type).year;
  const Study* study = known(52, clear_type).study.get();
  // the clocks change on 29 March and 25 October 2026
  for (const YearDay& d : year.days)
    CHECK(24 * (d.to - d.from) == Approx(d.month == 3 && d.day == 29 ? 23 : d.month == 10 && d.day == 25 ? 25 : 24).epsilon(1e-6));
  for (std::size_t f = 0; f < year.faces.size(); ++f) {
    double shows = 0;
    for (const YearDay& d : year.days) {
      double last = d.from;
      for (const YearRun& run : d.runs[f]) {
        CHECK(run.from >= last - 1e-9);
        CHECK(run.to > run.from);
        CHECK(run.to <= d.to + 1e-9);
        last = run.to;
        if (run.verdict == Verdict::shows) {
          shows += run.hours();
          CHECK(run.visibility >= *study->job.verdict.shows * 0.999);  // rounding at the cut
        }
      }
    }
    CHECK(shows == Approx(year.faces[f].shows_hours));
    for (const YearJoint& j : year.faces[f].joints) CHECK(j.shows_hours <= year.faces[f].shows_hours + 0.05);
  }
}

TEST_CASE("expected hours lie between always overcast and always clear") {
  const Study* study = known(52, clear_type).study.get();
  const Year& overcast = known(52, overcast_type).year;
  Year clear = known(52, clear_type).year;
  Climate climate;
  climate.place = "invented";
  for (ClimateHour& h : climate.hours) {
    h.direct_normal = 0;
    h.diffuse = 100;
    h.cover = 1;
  }
  weigh(*study, climate, clear, overcast);
  for (std::size_t f = 0; f < 2; ++f) CHECK(clear.faces[f].expected_shows_hours == Approx(overcast.faces[f].shows_hours).margin(1e-6));
  for (ClimateHour& h : climate.hours) {
    h.direct_normal = 1000;
    h.cover = 0;
  }
  weigh(*study, climate, clear, overcast);
  // in the lowest sun the efficacy of such a beam is small, and so some hours there count as less than clear
  for (std::size_t f = 0; f < 2; ++f) CHECK(clear.faces[f].expected_shows_hours == Approx(clear.faces[f].shows_hours).epsilon(0.03));
}

// Assess looks for the place at which each joint is seen best; the year looks at places kept from a first look over all of them.
TEST_CASE("what the year says of a moment is what assess says of it") {
  test::Validated found("the year, V of a face at 10 places of the sun", "assess and its search", "4 % at 9 of 10 (joints alone: half within 4 %)");
  const auto study = demo();
  const YearModel model(*study, clear_type);
  const double latitude = *study->job.site.latitude_deg * rad_per_deg;
  Random random(7);
  std::vector<double> faces, joints;
  std::vector<std::vector<YearLook>> looks;
  for (int i = 0; i < 10;) {
    const DaySun::Place place{random.uniform(-pi, pi), std::asin(0.3978 * std::sin(random.uniform(-pi, pi)))};
    if (DaySun::position(latitude, place).altitude < -6 * rad_per_deg) continue;
    ++i;
    model.look(place, looks);
    for (std::size_t f = 0; f < looks.size(); ++f) {
      const std::vector<double> exact = assessed(*study, model.surfaces()[f], moment_at_place(*study, place));
      double told = 0, said = 0;
      for (std::size_t j = 0; j < exact.size(); ++j) {
        told = std::max(told, looks[f][j].visibility);
        said = std::max(said, exact[j]);
        if (exact[j] > 1) joints.push_back(std::abs(std::log(std::max(looks[f][j].visibility, 1e-3) / exact[j])));
      }
      if (said > 0.5) faces.push_back(std::abs(std::log(std::max(told, 1e-3) / said)));
    }
  }
  std::sort(faces.begin(), faces.end());
  std::sort(joints.begin(), joints.end());
  REQUIRE(faces.size() > 15);
  REQUIRE(joints.size() > 30);
  // V is taken as going by the slope alone, held to exact profiles at two skies; what is left is some percent
  found.says(fmt::format("{:.2g} % at 9 of 10 of {}; joints alone: half within {:.2g} %, 9 of 10 within {:.2g} %, of {}", 100 * faces[faces.size() * 9 / 10], faces.size(),
                         100 * joints[joints.size() / 2], 100 * joints[joints.size() * 9 / 10], joints.size()));
  CHECK(faces[faces.size() * 9 / 10] < 0.04);
  CHECK(joints[joints.size() / 2] < 0.04);
}

// The year looks again at each joint's worst; assess searches the joint at that moment from nothing.
TEST_CASE("a joint's worst of the year is assess's at that moment", "[long]") {
  test::Validated found("the year's worst of each joint, raking ratio and V", "assess and its search at that moment", "2 % at 9 of 10, where V is over a half; V 5 %");
  const auto study = demo();
  const YearModel model(*study, clear_type);
  const Year year = sweep_year(*study, model, 2026);
  const double latitude = *study->job.site.latitude_deg * rad_per_deg, longitude = *study->job.site.longitude_deg * rad_per_deg;
  std::vector<double> off, off_v;
  for (const YearFace& face : year.faces)
    for (std::size_t j = 0; j < face.joints.size(); ++j) {
      const YearJoint& joint = face.joints[j];
      if (joint.worst.visibility < 0.5) continue;
      const DaySun day(joint.worst_at, latitude, longitude);
      study->moments.push_back(moment_at_place(*study, day.place(joint.worst_at)));
      study->lighting.push_back(make_lighting(study->job, study->room, study->basis, study->moments.back()));
      const SurfaceResult result = assess_surface(*study, face.surface, requested_finish(*study, face.surface), {static_cast<int>(study->moments.size()) - 1});
      study->moments.pop_back();
      study->lighting.pop_back();
      REQUIRE(result.joints[j].worst >= 0);
      const Seen& seen = result.joints[j].seen[result.joints[j].worst];
      std::printf("year: %s worst V %.3f R %.3f at %.3f m by eye %d; assess V %.3f R %.3f at %.3f m by eye %d\n", joint.id.c_str(), joint.worst.visibility,
                  joint.worst.raking_ratio, joint.worst.along, joint.worst.viewer, seen.judged.visibility, seen.raking_ratio, seen.station, seen.viewer);
      off.push_back(std::abs(joint.worst.raking_ratio / seen.raking_ratio - 1));
      off_v.push_back(std::abs(joint.worst.visibility / seen.judged.visibility - 1));
    }
  std::sort(off.begin(), off.end());
  std::sort(off_v.begin(), off_v.end());
  REQUIRE(off.size() > 10);
  found.says(fmt::format("R: half within {:.2g} %, 9 of 10 within {:.2g} %, worst {:.2g} %; V: worst {:.2g} %; {} joints", 100 * off[off.size() / 2],
                         100 * off[off.size() * 9 / 10], 100 * off.back(), 100 * off_v.back(), off.size()));
  // at the very edge of the sun R goes by some percent in a few millimetres
  CHECK(off[off.size() * 9 / 10] < 0.02);
  CHECK(off_v.back() < 0.05);
}

// The tables against light_by_source at random places of the sun in the year, three stations of every joint of the demo; the year has
// patches of 0.5 m, what it is held to assess's of 0.25 m. Close to a corner of the room R was 5.7 % off at 95 of 100 before these
// finer patches were asked.
TEST_CASE("raking ratios of the year are those of the exact light", "[long]") {
  test::Validated found("the year, raking ratio", "exact light of assess's patches at every station, 60 places of the sun", "2 % at 95 of 100");
  const auto study = demo();
  const YearModel model(*study, clear_type);
  const double latitude = *study->job.site.latitude_deg * rad_per_deg;
  Random random(11);
  std::vector<double> off;
  for (int i = 0; i < 60;) {
    const DaySun::Place place{random.uniform(-pi, pi), std::asin(0.3978 * std::sin(random.uniform(-pi, pi)))};
    if (DaySun::position(latitude, place).altitude < -6 * rad_per_deg) continue;
    ++i;
    const Lighting exact = make_lighting(study->job, study->room, study->basis, moment_at_place(*study, place));
    for (std::size_t f = 0; f < model.surfaces().size(); ++f)
      for (std::size_t j = 0; j < model.joints()[f].size(); ++j) {
        const JointLine& line = model.joints()[f][j].line;
        const std::vector<double>& stations = model.stations(static_cast<int>(f), static_cast<int>(j));
        for (const std::size_t station : {stations.size() / 4, stations.size() / 2, 3 * stations.size() / 4}) {
          if (stations.empty()) continue;
          const LightVector a = model.light(place, static_cast<int>(f), static_cast<int>(j), stations[station]);
          const LightVector b = total_light(exact, model.surfaces()[f], line.from + stations[station] * line.along());
          const double ra = glm::length(a.tangential()) / a.n, rb = glm::length(b.tangential()) / b.n;
          off.push_back(std::abs(ra / rb - 1));
        }
      }
  }
  std::sort(off.begin(), off.end());
  std::printf("year: raking ratio against exact light, %zu values: half within %.4f, 95 of 100 within %.4f, worst %.3f\n", off.size(), off[off.size() / 2],
              off[off.size() * 95 / 100], off.back());
  found.says(fmt::format("half within {:.2g} %, 95 of 100 within {:.2g} %, of {}", 100 * off[off.size() / 2], 100 * off[off.size() * 95 / 100], off.size()));
  CHECK(off[off.size() * 95 / 100] < 0.02);
}

// Of times over the whole year, how far off V of a face is where something hangs on it: twelve each about the limit, under it (which
// on the demo is twilight) and over it (day). The test of hours, which follows, asks assess about the limit alone and relies on the year elsewhere.
TEST_CASE("V of the year is assess's from 0.4 to 2.5 of the limit", "[long]") {
  test::Validated found("the year, V of a face from 0.4 to 2.5 of the limit", "assess and its search, 36 places of the sun", "4 % from 0.85 to 1.2 of it, 12 % under, 6 % over");
  const auto study = demo();
  const YearModel model(*study, clear_type);
  const double latitude = *study->job.site.latitude_deg * rad_per_deg, limit = *study->job.verdict.shows;
  const std::array<double, 4> bands{0.4, 0.85, 1.2, 2.5};
  std::array<int, 3> count{};
  std::array<double, 3> most{};
  Random random(29);
  std::vector<std::vector<YearLook>> looks;
  for (int i = 0; i < 100000 && *std::min_element(count.begin(), count.end()) < 12; ++i) {
    const DaySun::Place place{random.uniform(-pi, pi), std::asin(0.3978 * std::sin(random.uniform(-pi, pi)))};
    if (DaySun::position(latitude, place).altitude < -9 * rad_per_deg) continue;
    model.look(place, looks);
    double told = 0;
    for (const YearLook& look : looks[0]) told = std::max(told, look.visibility);
    for (std::size_t b = 0; b < 3; ++b) {
      if (told < bands[b] * limit || told >= bands[b + 1] * limit || count[b] == 12) continue;
      ++count[b];
      const std::vector<double> exact = assessed(*study, model.surfaces()[0], moment_at_place(*study, place));
      const double said = *std::max_element(exact.begin(), exact.end());
      CAPTURE(DaySun::position(latitude, place).altitude * deg_per_rad, told, said);
      REQUIRE(said > 0);
      most[b] = std::max(most[b], std::abs(told / said - 1));
    }
  }
  for (const int c : count) REQUIRE(c == 12);
  found.says(fmt::format("{:.1f} % from 0.85 to 1.2 of it, {:.1f} % under, {:.1f} % over, at most", 100 * most[1], 100 * most[0], 100 * most[2]));
  // held to exact profiles at two skies by day; no sky of the twilight is among them
  CHECK(most[1] < 0.04);
  CHECK(most[0] < 0.12);
  CHECK(most[2] < 0.06);
}

// A fine sweep: assess every four minutes of whole days, its search and all, its limit passed where ln V goes straight between two
// looks. Times at which the year puts the face under 0.85 or over 1.2 of the limit are left out; every fortieth look is made
// whatever the year says.
TEST_CASE("hours of the year are those of a fine sweep by assess", "[long]") {
  test::Validated found("the year, hours of nine days of the demo", "assess and its search every 4 minutes, times under 0.85 and over 1.2 of the limit left out",
                        "half within 5 min, all within 8");
  const auto study = demo();
  const auto begun = std::chrono::steady_clock::now();
  const YearModel model(*study, clear_type);
  const auto modelled = std::chrono::steady_clock::now();
  const Year year = sweep_year(*study, model, 2026);
  const auto swept = std::chrono::steady_clock::now();
  const auto seconds = [](auto a, auto b) { return std::chrono::duration<double>(b - a).count(); };
  const int surface = model.surfaces()[0], now = static_cast<int>(study->moments.size());
  const double latitude = *study->job.site.latitude_deg * rad_per_deg, longitude = *study->job.site.longitude_deg * rad_per_deg;
  const double limit = *study->job.verdict.shows, step = 4.0 / 1440;
  std::vector<double> off;
  int count = 0, points = 0;
  std::vector<std::vector<YearLook>> looks;
  for (const std::size_t number : {22u, 67u, 112u, 157u, 171u, 202u, 247u, 292u, 337u}) {
    const YearDay& day = year.days[number];
    const DaySun sun(day.from, latitude, longitude);
    double fine = 0, before = 0;
    for (double at = day.from; at < day.to; at += step) {
      const DaySun::Place place = sun.place(at);
      model.look(place, looks);
      double v = 0;
      for (const YearLook& look : looks[0]) v = std::max(v, look.visibility);
      const bool checked = ++count % 40 == 0;  // whatever the year says of it
      if (checked || (v > 0.85 * limit && v < 1.2 * limit)) {
        const Moment moment = moment_at_place(*study, place);
        study->moments.push_back(moment);
        study->lighting.push_back(make_lighting(study->job, study->room, study->basis, moment));
        const SurfaceResult result = assess_surface(*study, surface, requested_finish(*study, surface), {now});
        study->moments.pop_back();
        study->lighting.pop_back();
        const double told = v;
        v = result.worst() ? result.worst()->seen[result.worst()->worst].judged.visibility : 0;
        // known to the first order in slope, grain of the sun left out; below half the limit nothing hangs on it
        if (checked && std::max(told, v) > 0.5 * limit) {
          INFO(day.month << '-' << day.day << " at " << 24 * (at - day.from) << " h: the year says " << told << ", assess " << v);
          CHECK(std::abs(std::log(told / v)) < std::log(1.3));
          ++points;
        }
      }
      if (std::min(before, v) >= limit) fine += step;
      else if (std::max(before, v) >= limit) fine += step * std::abs(std::log(std::max(before, v) / limit)) / std::abs(std::log(std::max(v, 1e-3) / std::max(before, 1e-3)));
      before = v;
    }
    double minutes = 0;
    for (const YearRun& run : day.runs[0])
      if (run.verdict == Verdict::shows) minutes += 60 * run.hours();
    off.push_back(minutes - 1440 * fine);
    std::printf("year: %d-%02d shows %.1f min, fine sweep %.1f min\n", day.month, day.day, minutes, 1440 * fine);
  }
  std::vector<double> once;
  for (const double hour : {-1.2, -0.6, 0.0, 0.6, 1.2}) {
    const auto start = std::chrono::steady_clock::now();
    assessed(*study, surface, moment_at_place(*study, {hour, 0.2}));
    once.push_back(seconds(start, std::chrono::steady_clock::now()));
  }
  std::sort(once.begin(), once.end());
  const double one = once[2], ratio = one * static_cast<double>(year.steps) / seconds(begun, swept);
  std::printf("year: tables %.2f s, sweep %.2f s for %ld steps; one step recomputed %.3f s; %.0f times as fast\n", seconds(begun, modelled),
              seconds(modelled, swept), year.steps, one, ratio);
  std::vector<double> size;
  for (const double d : off) size.push_back(std::abs(d));
  std::sort(size.begin(), size.end());
  // V passes its limit at less than half a percent a minute, four times a day, and the tables hold it to about one
  found.says(fmt::format("half within {:.1f} min, all within {:.1f}", size[size.size() / 2], size.back()));
  CHECK(size[size.size() / 2] < 5);  // minutes
  CHECK(size.back() < 8);
  CHECK(points > 20);
  CHECK(ratio > 100);
}
