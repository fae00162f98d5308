// The year for people and as a table of stretches.
#include <date/date.h>
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/text.h"
#include "base/units.h"
#include "report/words.h"
#include "report/year.h"
#include "sky/clock.h"

namespace rakelight {
namespace {

const char* const month_names[] = {"January", "February", "March",     "April",   "May",      "June",
                                   "July",    "August",   "September", "October", "November", "December"};

Judged judged(const Study& study, double visibility) {
  const VerdictSpec& rules = study.job.verdict;
  return judge(visibility / *rules.gain, *rules.gain, *rules.band, *rules.faint, *rules.shows);
}

std::string date_text(int year, int month, int day) { return fmt::format("{:04}-{:02}-{:02}", year, month, day); }
std::string hours_text(double hours) { return hours < 0.05 ? "0 h" : fixed_text(hours, hours < 9.95 ? 1 : 0) + " h"; }

void describe_months(std::string& out, const YearReport& r, std::size_t face, bool colour) {
  struct Month { int days = 0; double hours = 0, first = 24, last = 0; };
  std::array<Month, 12> months;
  for (const YearDay& d : r.year.days) {
    Month& m = months[static_cast<std::size_t>(d.month - 1)];
    bool any = false;
    for (const YearRun& run : d.runs[face]) {
      if (run.verdict != Verdict::shows) continue;
      any = true;
      m.hours += run.hours();
      const double from = clock_time(r.study.job.site, run.from).hours, to = clock_time(r.study.job.site, run.to).hours;
      m.first = std::min(m.first, from);
      m.last = std::max(m.last, to > from ? to : 24.0);
    }
    m.days += any;
  }
  std::vector<std::vector<std::string>> rows{{"month", "days", "hours", "between"}};
  for (std::size_t m = 0; m < 12; ++m)
    if (months[m].days > 0)
      rows.push_back({month_names[m], std::to_string(months[m].days), fixed_text(months[m].hours, 1),
                      clock_text(months[m].first) + " and " + clock_text(months[m].last)});
  if (rows.size() > 1) out += table(rows, "  ", colour);
}

void describe_joints(std::string& out, const YearReport& r, const YearFace& face, bool colour) {
  std::vector<const YearJoint*> order;
  for (const YearJoint& j : face.joints) order.push_back(&j);
  std::stable_sort(order.begin(), order.end(), [](auto* a, auto* b) { return a->worst.visibility > b->worst.visibility; });
  std::vector<std::vector<std::string>> rows{{"joint", "shows", "faint", "worst V", "band", "when", "seen from", "raked"}};
  for (const YearJoint* j : order) {
    if (j->worst.visibility <= 0) {
      rows.push_back({j->id, "–", "–", "–", "–", "–", "–", "–"});
      continue;
    }
    const Judged v = judged(r.study, j->worst.visibility);
    const ClockTime at = clock_time(r.study.job.site, j->worst_at);
    rows.push_back({j->id, hours_text(j->shows_hours), hours_text(j->faint_hours), two_digits(v.visibility), band_text(v),
                    date_text(r.year.year, at.month, at.day) + " " + clock_text(at.hours), r.study.viewers[j->worst.viewer].name,
                    fmt::format("{}, {}", fixed_text(j->worst.raking_ratio, 1), raking_word(j->worst.raking_ratio))});
  }
  out += table(rows, "  ", colour);
}

}  // namespace

ClockTime clock_time(const SiteSpec& site, double jd_ut) {
  constexpr double jd_of_1970 = 2440587.5;
  const double seconds = std::round((jd_ut - jd_of_1970) * 86400);
  const UtcSeconds utc{std::chrono::seconds(static_cast<long long>(seconds))};
  const auto local = utc + std::chrono::seconds(clock_offset(site, utc));
  const auto day = date::floor<date::days>(local);
  const date::year_month_day ymd(day);
  return {static_cast<int>(static_cast<unsigned>(ymd.month())), static_cast<int>(static_cast<unsigned>(ymd.day())),
          static_cast<double>((local - day).count()) / 3600};
}

std::string clock_text(double hours) {
  const int minutes = static_cast<int>(std::lround(hours * 60));
  return fmt::format("{:02}:{:02}", minutes / 60, minutes % 60);
}

std::string year_text(const YearReport& r, bool colour) {
  const Study& study = r.study;
  std::string out = *study.job.title + "\n";
  out += r.climate ? fmt::format("{}: every hour clear or overcast, weighted by the climate of {}; lamps off.\n", r.year.year, r.climate->place)
                   : fmt::format("{}: every hour under the {} sky; lamps off. No weather is that steady: hours are how often it can happen.\n", r.year.year,
                                 type_text(r.year.sky_type));
  for (std::size_t f = 0; f < r.year.faces.size(); ++f) {
    const YearFace& face = r.year.faces[f];
    const Surface& surface = study.room.surfaces[face.surface];
    out += fmt::format("\n{}{}{}: ", colour ? "\033[1m" : "", surface.kind == Surface::Kind::ceiling ? "ceiling" : surface.name + " wall", colour ? "\033[0m" : "");
    if (face.shows_days == 0) out += "never shows by daylight";
    else out += fmt::format("something shows on {} days, {}", face.shows_days, hours_text(face.shows_hours));
    if (r.climate) out += fmt::format(" if always clear; {} expected", hours_text(face.expected_shows_hours));
    out += fmt::format("; faint for {}.\n", hours_text(face.faint_hours));
    describe_months(out, r, f, colour);
    describe_joints(out, r, face, colour);
    for (const LampsAlone& l : r.lamps)
      if (l.surface == face.surface && !l.joint.empty())
        out += fmt::format("  Lamps alone ({}): {} {} (V {}, band {}), every evening they are on.\n", l.moment, l.joint, verdict_text(l.judged.verdict),
                           two_digits(l.judged.visibility), band_text(l.judged));
  }
  out += "\nShows: V from " + number_text(*study.job.verdict.shows) + "; faint: somebody who knows where to look may find it. Bands, not digits, are the answer.\n"
         "A prediction, not an acceptance ruling.\n";
  return out;
}

std::string year_csv(const YearReport& r) {
  std::string out = "surface,date,from,to,verdict,visibility,joint,raking_ratio\n";
  for (std::size_t f = 0; f < r.year.faces.size(); ++f) {
    const YearFace& face = r.year.faces[f];
    for (const YearDay& d : r.year.days)
      for (const YearRun& run : d.runs[f]) {
        const double from = clock_time(r.study.job.site, run.from).hours, to = clock_time(r.study.job.site, run.to).hours;
        out += fmt::format("\"{}\",{},{},{},{},{},\"{}\",{}\n", r.study.room.surfaces[face.surface].name, date_text(r.year.year, d.month, d.day), clock_text(from),
                           clock_text(to > from ? to : 24.0), verdict_text(run.verdict), fixed_text(run.visibility, 2),
                           face.joints[static_cast<std::size_t>(run.joint)].id, fixed_text(run.raking_ratio, 2));
      }
  }
  return out;
}

}  // namespace rakelight
