// Drying hours, days and volumes against docs/reference/trade.md and the calendar.
#include <catch2/catch.hpp>

#include <algorithm>
#include <array>
#include <cmath>

#include "cost/drying.h"
#include "cost/programme.h"
#include "cost/sections.h"

using namespace rakelight;

TEST_CASE("drying hours are the trade's table") {
  // docs/reference/trade.md 7.2, hours for one coat of 1.6 mm: rows by relative humidity, columns by °F (classic US trade table, M)
  constexpr std::array fahrenheit{32, 40, 50, 60, 70, 80, 90, 100};
  struct Row { double humidity; std::array<double, 8> hours; };
  const std::array<Row, 8> table{{{0, {38, 28, 19, 13, 9, 6, 4.5, 3}},
                                  {20, {48, 34, 23, 16, 11, 8, 5.5, 4}},
                                  {40, {60, 44, 29, 20, 14, 10, 7, 5}},
                                  {50, {72, 48, 36, 24, 17, 12, 9, 6}},
                                  {60, {84, 60, 42, 29, 20, 14, 10, 8}},
                                  {70, {108, 84, 54, 38, 26, 19, 14, 10}},
                                  {80, {168, 108, 78, 54, 38, 27, 19, 14}},
                                  {90, {312, 216, 144, 108, 72, 49, 34, 26}}}};
  for (const Row& row : table)
    for (std::size_t i = 0; i < fahrenheit.size(); ++i) {
      INFO(row.humidity << " % at " << fahrenheit[i] << " F");
      const double hours = drying_hours({(fahrenheit[i] - 32) / 1.8, row.humidity / 100});
      // the fit is stated to be within 12 %; entries of the table are whole or half hours
      CHECK(std::abs(hours - row.hours[i]) <= 0.12 * row.hours[i] + 0.5);
    }
}

TEST_CASE("set is not dry, thick fills are a guess, a day between drying coats") {
  const Air air{(70 - 32) / 1.8, 0.60};  // 20 h in the table
  const Drying setting = drying_of("setting", 1.6e-3, air), drying = drying_of("drying", 1.6e-3, air), thick = drying_of("drying", 4.8e-3, air);
  // classes of 20 to 210 minutes (7.2)
  CHECK(setting.recoat.low == Approx(1.0 / 3));
  CHECK(setting.recoat.high == Approx(3.5));
  CHECK(setting.dry.low > setting.recoat.high);
  CHECK(setting.dry.low == Approx(drying.dry.low));
  // 24 h between coats of drying compound (AU practice, 4.2) is more than the table's 20 h
  CHECK(drying.recoat.low < 20);
  CHECK(drying.recoat.high == Approx(24));
  CHECK_FALSE(drying.thick);
  // three times as thick: from three to nine times as long (7.2, M-)
  CHECK(thick.dry.low == Approx(3 * drying.dry.low));
  CHECK(thick.dry.high == Approx(9 * drying.dry.high));
  CHECK(thick.thick);
  // the table does not go below its nominal coat: thinner coats are not promised to be quicker
  CHECK(drying_of("drying", 0.3e-3, air).dry.high == Approx(drying.dry.high));
}

TEST_CASE("days are those of the calendar") {
  // known days: 1 January 1970 was a Thursday, 29 February 2000 a Tuesday, 4 May 2026 a Monday
  CHECK(weekday(day_number(1970, 1, 1)) == 3);
  CHECK(weekday(day_number(2000, 2, 29)) == 1);
  CHECK(weekday(day_number(2026, 5, 4)) == 0);
  CHECK(day_text(day_number(2026, 5, 4)) == "Mon 4 May 2026");
  // 365 days from one 1 March to the next, 366 over a 29 February
  CHECK(day_number(2027, 3, 1) - day_number(2026, 3, 1) == 365);
  CHECK(day_number(2028, 3, 1) - day_number(2027, 3, 1) == 366);
  CHECK(day_number(2101, 3, 1) - day_number(2100, 1, 1) == 365 + 59);  // 2100 is no leap year
  for (long n = day_number(1999, 12, 20); n < day_number(2001, 1, 10); ++n) {
    const CivilDay d = civil_day(n);
    CHECK(day_number(d.year, d.month, d.day) == n);
  }
}

namespace {

Visit coat(const std::string& compound, double hours) {
  Visit v;
  v.compound = compound;
  v.tasks = {{"walls", {hours, hours}}};
  return v;
}

Job job_from(int day_of_may, double days_a_week = 5) {
  Job job;
  LocalTime start;
  start.year = 2026;
  start.month = 5;
  start.day = day_of_may;
  job.paper.start = start;
  job.paper.start.given = true;
  job.paper.days_a_week = days_a_week;
  job.drying.temperature = (70 - 32) / 1.8;
  job.drying.humidity = 60.0;
  return job;
}

}  // namespace

TEST_CASE("a programme keeps to hours, nights and weekends") {
  // from Monday 4 May, 8 hours a day: 6 h of a drying coat end at 14:00, 24 h later it is Tuesday 14:00, with two hours left; 6 h more
  // end on Wednesday
  const std::vector<Visit> two{coat("drying", 6), coat("drying", 6)};
  const Programme p = programme_of(job_from(4), two);
  REQUIRE(p.planned.size() == 2);
  CHECK(day_text(p.planned[0].last) == "Mon 4 May 2026");
  CHECK(day_text(p.planned[1].first) == "Tue 5 May 2026");
  CHECK(day_text(p.planned[1].last) == "Wed 6 May 2026");
  // the last coat dries 24 h at least before paint (7.2): from Wednesday 12:00 to Thursday
  CHECK(day_text(p.paint_planned) == "Thu 7 May 2026");
  CHECK(p.paint_at_best <= p.paint_planned);

  // from Friday 8 May the wait ends on Saturday: the second coat begins on Monday, or on Saturday where that is worked
  CHECK(day_text(programme_of(job_from(8), two).planned[1].first) == "Mon 11 May 2026");
  CHECK(day_text(programme_of(job_from(8, 6), two).planned[1].first) == "Sat 9 May 2026");

  // setting compound is recoated the same day
  const std::vector<Visit> setting{coat("setting", 2), coat("setting", 1)};
  const Programme quick = programme_of(job_from(4), setting);
  CHECK(quick.planned[1].first == quick.planned[0].first);

  // twice the hands, half the days
  Job many = job_from(4);
  const std::vector<Visit> long_one{coat("setting", 32)};
  CHECK(programme_of(many, long_one).planned[0].last - day_number(2026, 5, 4) == 3);
  many.paper.hands = 2.0;
  CHECK(programme_of(many, long_one).planned[0].last - day_number(2026, 5, 4) == 1);

  // without a date, days are counted from a Monday
  Job undated = job_from(4);
  undated.paper.start.given = false;
  const Programme counted = programme_of(undated, two);
  CHECK_FALSE(counted.dated);
  CHECK(counted.planned[0].first == 0);
  CHECK(counted.planned[1].last == 2);
}

TEST_CASE("compound by the section: a strip's area times its length, a spot's turned about its middle") {
  PlacedJoint joint;
  joint.recipe.kind = JointKind::recessed;
  joint.recipe.level.tape = true;
  joint.recipe.level.coats = 1;
  joint.recipe.compound = {"setting", "drying"};
  joint.line.to = {2, 0};
  Section& s = joint.section;
  s.first = -0.060;
  s.step = 0.0005;
  const int n = 241;
  std::vector<double> bare, flush, crown;
  for (int i = 0; i < n; ++i) {
    const double u = s.first + s.step * i;
    // a taper 1.3 deep over 60 each side (3, typical recess), filled flush, then a crown of 1.5 over 120
    bare.push_back(-1.3e-3 * (1 - std::abs(u) / 0.060));
    flush.push_back(0);
    crown.push_back(0.75e-3 * (1 + std::cos(std::acos(-1.0) * u / 0.060)));
  }
  s.bare = bare;
  s.coats = {flush, crown};
  std::vector<CoatVolume> v = coat_volumes(joint);
  REQUIRE(v.size() == 2);
  // two triangles 60 wide and 1.3 deep are 78 mm² = 0.078 L/m (7.1), over 1 − 3 % (setting); 2 m
  CHECK(v[0].volume * 1000 == Approx(2 * 0.078 / 0.97).epsilon(0.001));
  CHECK(v[0].thickest == Approx(1.3e-3 / 0.97).epsilon(0.001));
  // raised cosine: h w / 2 = 1.5 × 120 / 2 = 90 mm² (7.1), over 1 − 25 % (drying)
  CHECK(v[1].volume * 1000 == Approx(2 * 0.090 / 0.75).epsilon(0.001));

  // the tape's own thickness is no compound: 50 mm of 0.2
  s.tape_from = -0.025;
  s.tape_to = 0.025;
  s.tape_thickness = 0.2e-3;
  CHECK((v[0].volume - coat_volumes(joint)[0].volume) * 1000 == Approx(2 * 0.010 / 0.97).epsilon(0.02));
  s.tape_thickness = 0;

  // ten spots: each of the cone's hollow is π r² h / 3
  joint.recipe.kind = JointKind::fixings;
  joint.line.spots = std::vector<double>(10, 0.1);
  v = coat_volumes(joint);
  REQUIRE_FALSE(v.empty());
  CHECK(v[0].volume * 1e6 == Approx(10 * std::acos(-1.0) * 6 * 6 * 0.13 / 3 / 0.97).epsilon(0.002));  // cm³
}
