#include "cost/programme.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace rakelight {
namespace {

constexpr Range sealer_hours{4, 16};             // an estimate; its maker's figure goes before it
constexpr double before_paint = 24;              // h after the last coat at least (common practice, M)
constexpr double day_begins = 8;                 // o'clock
constexpr double least_day_left = 1;             // h

/// Time in hours from midnight of day 0, on site.
class Clock {
 public:
  Clock(const PaperSpec& paper, long first_day) : hours_a_day_(*paper.day_hours), days_a_week_(static_cast<int>(*paper.days_a_week)), day_(first_day) {
    at_ = day_begins;
    to_working_day();
  }
  long day() const { return day_; }
  void wait(double hours) {
    at_ += hours;
    const double days = std::floor(at_ / 24);
    day_ += static_cast<long>(days);
    at_ -= 24 * days;
    settle();
  }
  /// Works so many hours; the first and last day of them.
  void work(double hours, long& first, long& last) {
    settle();
    first = day_;
    for (;;) {
      const double left = day_begins + hours_a_day_ - at_;
      if (hours <= left + 1e-9) break;
      hours -= left;
      next_day();
    }
    at_ += hours;
    last = day_;
  }

 private:
  /// To the next moment at which a visit may begin.
  void settle() {
    at_ = std::max(at_, day_begins);
    if (at_ > day_begins + hours_a_day_ - least_day_left) next_day();
    else to_working_day();
  }
  void next_day() {
    ++day_;
    at_ = day_begins;
    to_working_day();
  }
  void to_working_day() {
    if (weekday(day_) < days_a_week_) return;
    while (weekday(day_) >= days_a_week_) ++day_;
    at_ = day_begins;
  }
  double hours_a_day_;
  int days_a_week_;
  long day_;
  double at_ = 0;
};

struct Wait { Range hours; std::string what; bool thick = false; };

Wait wait_after(const std::vector<Visit>& visits, std::size_t i, Air air) {
  const Visit& visit = visits[i];
  const bool last = i + 1 == visits.size();
  const Visit::Kind next = last ? Visit::Kind::touch_up : visits[i + 1].kind;
  switch (visit.kind) {
    case Visit::Kind::coat:
    case Visit::Kind::film:
    case Visit::Kind::touch_up: {
      const Drying d = drying_of(visit.compound, visit.thickest, air);
      if (!last && (next == Visit::Kind::coat || next == Visit::Kind::film)) return {d.recoat, visit.compound == "setting" ? "sets" : "dries", d.thick && visit.compound != "setting"};
      return {{std::max(d.dry.low, last ? before_paint : 0), std::max(d.dry.high, before_paint)}, visit.compound == "setting" ? "dries (set is not dry)" : "dries", d.thick};
    }
    case Visit::Kind::sealer: return {sealer_hours, "sealer dries (its maker's figure goes before this)"};
    case Visit::Kind::sanding:
    case Visit::Kind::check: return {};
  }
  return {};
}

std::vector<Step> steps_of(const Job& job, const std::vector<Visit>& visits, Air air, long start, double Range::*end, long& paint) {
  std::vector<Step> steps;
  Clock clock(job.paper, start);
  for (std::size_t i = 0; i < visits.size(); ++i) {
    const Wait wait = wait_after(visits, i, air);
    Step step;
    step.visit = static_cast<int>(i);
    step.hours = visits[i].hours();
    step.wait = wait.hours;
    step.wait_for = wait.what;
    step.thick = wait.thick;
    clock.work(step.hours.*end / *job.paper.hands, step.first, step.last);
    clock.wait(wait.hours.*end);
    steps.push_back(step);
  }
  paint = clock.day();
  return steps;
}

}  // namespace

long day_number(int year, int month, int day) {
  const long y = month <= 2 ? year - 1 : year;
  const long era = (y >= 0 ? y : y - 399) / 400, of_era = y - era * 400;
  const long of_year = (153 * (month > 2 ? month - 3 : month + 9) + 2) / 5 + day - 1;
  return era * 146097 + of_era * 365 + of_era / 4 - of_era / 100 + of_year;
}

CivilDay civil_day(long number) {
  const long era = (number >= 0 ? number : number - 146096) / 146097, of_era = number - era * 146097;
  const long year = (of_era - of_era / 1460 + of_era / 36524 - of_era / 146096) / 365;
  const long of_year = of_era - (365 * year + year / 4 - year / 100), m = (5 * of_year + 2) / 153;
  CivilDay d;
  d.day = static_cast<int>(of_year - (153 * m + 2) / 5 + 1);
  d.month = static_cast<int>(m < 10 ? m + 3 : m - 9);
  d.year = static_cast<int>(year + era * 400 + (d.month <= 2 ? 1 : 0));
  return d;
}

// 1 March of year 0 was a Wednesday
int weekday(long number) { return static_cast<int>(((number + 2) % 7 + 7) % 7); }

std::string day_text(long number, bool with_weekday) {
  constexpr std::array names{"Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"};
  constexpr std::array months{"Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"};
  const CivilDay d = civil_day(number);
  const std::string text = std::to_string(d.day) + " " + months[static_cast<std::size_t>(d.month - 1)] + " " + std::to_string(d.year);
  return with_weekday ? std::string(names[static_cast<std::size_t>(weekday(number))]) + " " + text : text;
}

Programme programme_of(const Job& job, const std::vector<Visit>& visits) {
  Programme p;
  p.air = {*job.drying.temperature, *job.drying.humidity / 100};
  p.dated = job.paper.start.given;
  long start = 0;
  if (p.dated) start = day_number(job.paper.start->year, job.paper.start->month, job.paper.start->day);
  else while (weekday(start) != 0) ++start;
  p.planned = steps_of(job, visits, p.air, start, &Range::high, p.paint_planned);
  p.at_best = steps_of(job, visits, p.air, start, &Range::low, p.paint_at_best);
  p.paint_known = !visits.empty();
  if (p.dated) return p;
  for (std::vector<Step>* steps : {&p.planned, &p.at_best})
    for (Step& step : *steps) {
      step.first -= start;
      step.last -= start;
    }
  p.paint_planned -= start;
  p.paint_at_best -= start;
  return p;
}

}  // namespace rakelight
