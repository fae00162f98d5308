// A year day by day: what the looks add up to.
#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <optional>

#include "assess/year_times.h"
#include "base/long_work.h"
#include "base/units.h"
#include "light/parallel.h"
#include "sky/clock.h"

namespace rakelight {
namespace {

constexpr double sunrise_altitude = -0.833 * rad_per_deg;
constexpr double jd_of_1970 = 2440587.5;
constexpr double least_seen = 1e-3;              // of visibility, in logarithms

using Looks = std::vector<std::vector<YearLook>>;

/// Cuts [0, 1] where a value that goes evenly in its logarithm from a to b passes a limit, and tells the part over it.
struct Over { double from = 0, to = 0; };
Over over(double a, double b, double limit) {
  a = std::max(a, least_seen);
  b = std::max(b, least_seen);
  limit = std::max(limit, least_seen);
  if (a >= limit && b >= limit) return {0, 1};
  if (a < limit && b < limit) return {};
  const double t = std::log(limit / a) / std::log(b / a);
  return a < limit ? Over{t, 1} : Over{0, t};
}

struct Limits { double faint = 0.5, shows = 4; };

/// Adds a stretch to the runs of a face, joined to the last where they meet with the same verdict.
void add_run(std::vector<YearRun>& runs, double from, double to, Verdict verdict, const YearRun& at) {
  if (to <= from) return;
  if (!runs.empty() && runs.back().verdict == verdict && from - runs.back().to < instant / 4) {
    runs.back().to = to;
    if (at.visibility > runs.back().visibility) {
      runs.back().visibility = at.visibility;
      runs.back().joint = at.joint;
      runs.back().most_at = at.most_at;
      runs.back().along = at.along;
    }
    return;
  }
  YearRun run = at;
  run.from = from;
  run.to = to;
  run.verdict = verdict;
  runs.push_back(run);
}

/// Which crossings change what a year says of a joint: those in which its V may pass a limit, and those about its highest of the day. Else V
/// goes from before to after by steps of `fine`, and only how it gets there is not known.
class Matters {
 public:
  Matters(const Limits& limits, const std::vector<Looks>& looks) : limits_(limits) {
    for (const Looks& all : looks) {
      highest_.resize(all.size());
      for (std::size_t f = 0; f < all.size(); ++f) {
        highest_[f].resize(all[f].size(), 0.0);
        for (std::size_t j = 0; j < all[f].size(); ++j) highest_[f][j] = std::max(highest_[f][j], all[f][j].visibility);
      }
    }
  }
  bool operator()(Targets::Owner owner, const Looks& before, const Looks& after) const {
    if (owner.face >= 0) return joint(static_cast<std::size_t>(owner.face), static_cast<std::size_t>(owner.joint), before, after);
    for (std::size_t f = 0; f < before.size(); ++f)
      for (std::size_t j = 0; j < before[f].size(); ++j)
        if (joint(f, j, before, after)) return true;
    return false;
  }

 private:
  bool joint(std::size_t f, std::size_t j, const Looks& before, const Looks& after) const {
    constexpr double about_limits = 1.5, about_highest = 1.2;
    const double a = before[f][j].visibility, b = after[f][j].visibility, high = std::max(a, b);
    for (const double limit : {limits_.faint, limits_.shows})
      if (std::min(a, b) < about_limits * limit && about_limits * high > limit) return true;
    return about_highest * high > std::max(highest_[f][j], limits_.faint);
  }
  const Limits& limits_;
  std::vector<std::vector<double>> highest_;
};

struct DayResult {
  YearDay day;
  std::vector<std::vector<YearJoint>> joints;
  long steps = 0;
};

/// A day as it is walked through.
struct Walk {
  DayCourse& course;
  const Limits& limits;
};

void add_stretch(DayResult& result, const Limits& limits, double a, double b, const Looks& from, const Looks& to) {
  const double length = b - a;
  for (std::size_t f = 0; f < from.size(); ++f) {
    YearRun most_a, most_b;
    for (std::size_t j = 0; j < from[f].size(); ++j) {
      const double va = from[f][j].visibility, vb = to[f][j].visibility;
      YearJoint& joint = result.joints[f][j];
      const Over shows = over(va, vb, limits.shows), faint = over(va, vb, limits.faint);
      joint.shows_hours += 24 * length * (shows.to - shows.from);
      joint.faint_hours += 24 * length * (faint.to - faint.from - (shows.to - shows.from));
      if (vb > joint.worst.visibility) {
        joint.worst = to[f][j];
        joint.worst_at = b;
      }
      const auto note = [&](YearRun& most, const YearLook& look, double at) {
        if (look.visibility <= most.visibility) return;
        most.visibility = look.visibility;
        most.joint = static_cast<int>(j);
        most.most_at = at;
        most.along = look.along;
      };
      note(most_a, from[f][j], a);
      note(most_b, to[f][j], b);
    }
    const Over shows = over(most_a.visibility, most_b.visibility, limits.shows), faint = over(most_a.visibility, most_b.visibility, limits.faint);
    const YearRun& most = most_a.visibility > most_b.visibility ? most_a : most_b;
    const YearRun& less = most_a.visibility > most_b.visibility ? most_b : most_a;
    auto& runs = result.day.runs[f];
    if (shows.to > shows.from) {
      add_run(runs, a + length * faint.from, a + length * shows.from, Verdict::faint, less);
      add_run(runs, a + length * shows.from, a + length * shows.to, Verdict::shows, most);
      add_run(runs, a + length * shows.to, a + length * faint.to, Verdict::faint, less);
    } else {
      add_run(runs, a + length * faint.from, a + length * faint.to, Verdict::faint, most);
    }
  }
}

double most(const std::vector<YearLook>& joints) {
  double v = 0;
  for (const YearLook& look : joints) v = std::max(v, look.visibility);
  return v;
}

/// Where a face's most visible joint passes a limit between two looks, as a share of the way; −1 where none does.
double first_crossing(const Limits& limits, const Looks& from, const Looks& to) {
  double first = -1;
  for (std::size_t f = 0; f < from.size(); ++f)
    for (const double limit : {limits.faint, limits.shows}) {
      const Over o = over(most(from[f]), most(to[f]), limit);
      const double at = o.from > 0 ? o.from : o.to;
      if (at > 0 && at < 1 && (first < 0 || at < first)) first = at;
    }
  return first;
}

/// Of ln V, how far a cut may lie from where it was expected: V passes the limit close to the cut, and there the straight lines to both ends
/// are then good to a few thousandths.
constexpr double as_expected = 0.02;

/// Adds a stretch, cut where a face passes a limit until the straight line in ln V tells the instant to seconds.
void walk(const Walk& w, DayResult& result, double a, double b, const Looks& from, const Looks& to, int depth = 0) {
  const double share = first_crossing(w.limits, from, to);
  if (share < 0 || b - a < 4 * instant || depth == 24) return add_stretch(result, w.limits, a, b, from, to);
  // not too near an end, or cutting would go on there for ever
  const double middle = a + std::clamp(share, 0.1, 0.9) * (b - a);
  Looks here;
  w.course.look(middle, here);
  ++result.steps;
  double off = 0;
  for (std::size_t f = 0; f < here.size(); ++f)
    for (std::size_t j = 0; j < here[f].size(); ++j) {
      if (here[f][j].visibility < 0.8 * most(here[f])) continue;  // others pass no limit for the face
      const auto log_of = [](const YearLook& look) { return std::log(std::max(look.visibility, least_seen)); };
      const double t = (middle - a) / (b - a);
      off = std::max(off, std::abs(log_of(here[f][j]) - (1 - t) * log_of(from[f][j]) - t * log_of(to[f][j])));
    }
  if (off < as_expected) {
    add_stretch(result, w.limits, a, middle, from, here);
    return add_stretch(result, w.limits, middle, b, here, to);
  }
  walk(w, result, a, middle, from, here, depth + 1);
  walk(w, result, middle, b, here, to, depth + 1);
}

/// When the sun crosses an altitude between two times, by halving; its altitude must differ in sign there.
double crossing(const DaySun& day, double altitude, double from, double to) {
  const bool up = day.position(from).altitude > altitude;
  while (to - from > instant / 8) {
    const double middle = 0.5 * (from + to);
    ((day.position(middle).altitude > altitude) == up ? from : to) = middle;
  }
  return 0.5 * (from + to);
}

void find_sunrise(const DaySun& day, YearDay& d) {
  d.sunrise = d.sunset = std::numeric_limits<double>::quiet_NaN();
  constexpr int pieces = 96;
  double most = -pi, before = day.position(d.from).altitude;
  for (int i = 0; i < pieces; ++i) {
    const double a = d.from + (d.to - d.from) * i / pieces, b = d.from + (d.to - d.from) * (i + 1) / pieces, after = day.position(b).altitude;
    most = std::max(most, after);
    if (before <= sunrise_altitude && after > sunrise_altitude && std::isnan(d.sunrise)) d.sunrise = crossing(day, sunrise_altitude, a, b);
    if (before > sunrise_altitude && after <= sunrise_altitude) d.sunset = crossing(day, sunrise_altitude, a, b);
    before = after;
  }
  d.light = most > sunrise_altitude;
}

double jd_of(UtcSeconds t) { return jd_of_1970 + static_cast<double>(t.time_since_epoch().count()) / 86400; }

}  // namespace

Year sweep_year(const Study& study, const YearModel& model, int year) {
  long_work("sweeping a year");
  const YearModel::Parts& parts = model.parts();
  Year result;
  result.year = year;
  result.sky_type = parts.sky_type;
  const VerdictSpec& rules = study.job.verdict;
  const Limits limits{*rules.faint / *rules.band, *rules.shows};
  const Targets targets(study, parts);
  const bool leap = (year % 4 == 0 && year % 100 != 0) || year % 400 == 0;
  const std::array<int, 12> lengths{31, leap ? 29 : 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
  std::vector<DayResult> days;
  for (int month = 1; month <= 12; ++month)
    for (int day = 1; day <= lengths[static_cast<std::size_t>(month - 1)]; ++day) {
      DayResult& d = days.emplace_back();
      d.day.month = month;
      d.day.day = day;
      d.day.from = jd_of(day_start(parts.site, year, month, day));
    }
  const double end = jd_of(day_start(parts.site, year + 1, 1, 1));
  for (std::size_t i = 0; i < days.size(); ++i) days[i].day.to = i + 1 < days.size() ? days[i + 1].day.from : end;

  for_each_index(static_cast<int>(days.size()), [&](int i) {
    DayResult& d = days[i];
    d.day.runs.resize(model.surfaces().size());
    for (const auto& face : model.joints()) d.joints.emplace_back(face.size());
    const DaySun sun(d.day.from, parts.latitude, *parts.site.longitude_deg * rad_per_deg);
    find_sunrise(sun, d.day);
    const Times times = times_of(sun, targets, d.day.from, d.day.to);
    DayCourse course(parts, sun, d.day.from);
    std::vector<Looks> looks(times.at.size());
    for (std::size_t k = 0; k < looks.size(); ++k) course.look(times.at[k], looks[k]);
    const Matters matters(limits, looks);
    std::vector<double> all = times.at;
    for (const Crossing& crossing : times.crossings) {
      const auto look_at = [&](double at) -> const Looks& {
        // (two times less than an instant apart are one)
        const auto next = std::lower_bound(times.at.begin(), times.at.end(), at - instant / 2);
        return looks[static_cast<std::size_t>(next - times.at.begin())];
      };
      const Looks &before = look_at(crossing.from), &after = look_at(crossing.to);
      std::optional<Halving> halving;
      for (const Crossing::Passed& passed : crossing.passed) {
        if (!matters(targets.owner(passed.target), before, after)) continue;
        if (!halving) halving.emplace(sun, targets, crossing.from, crossing.to);
        halving->add(passed, all);
      }
    }
    put_in_order(all);
    d.steps = static_cast<long>(looks.size());
    Looks before, after;
    std::size_t known = 0;  // of looks
    const auto look = [&](double at, Looks& now) {
      while (known < looks.size() && times.at[known] < at) ++known;
      if (known < looks.size() && times.at[known] == at) {
        now = looks[known];
        return;
      }
      course.look(at, now);
      ++d.steps;
    };
    look(all[0], before);
    for (std::size_t k = 0; k + 1 < all.size(); ++k) {
      look(all[k + 1], after);
      // a long gap is the night between the last twilight and the first
      if (all[k + 1] - all[k] < 1.5 * coarse || sun.position(0.5 * (all[k] + all[k + 1])).altitude >= lowest_sun) walk({course, limits}, d, all[k], all[k + 1], before, after);
      std::swap(before, after);
    }
    const auto raking = [&](double at, int face, int joint, double along) {
      const LightVector e = model.light(sun.place(at), face, joint, along);
      return e.n > 0 ? glm::length(e.tangential()) / e.n : 0;
    };
    for (std::size_t f = 0; f < d.joints.size(); ++f) {
      for (YearRun& run : d.day.runs[f]) run.raking_ratio = raking(run.most_at, static_cast<int>(f), run.joint, run.along);
      for (std::size_t j = 0; j < d.joints[f].size(); ++j) {
        YearLook& worst = d.joints[f][j].worst;
        if (worst.visibility > 0) worst.raking_ratio = raking(d.joints[f][j].worst_at, static_cast<int>(f), static_cast<int>(j), worst.along);
      }
    }
  });

  for (std::size_t f = 0; f < model.surfaces().size(); ++f) {
    YearFace& face = result.faces.emplace_back();
    face.surface = model.surfaces()[f];
    for (const PlacedJoint& joint : model.joints()[f]) face.joints.emplace_back().id = joint.line.id;
  }
  for (DayResult& d : days) {
    result.steps += d.steps;
    for (std::size_t f = 0; f < result.faces.size(); ++f) {
      YearFace& face = result.faces[f];
      bool shown = false;
      for (const YearRun& run : d.day.runs[f]) {
        (run.verdict == Verdict::shows ? face.shows_hours : face.faint_hours) += run.hours();
        shown = shown || run.verdict == Verdict::shows;
      }
      face.shows_days += shown;
      for (std::size_t j = 0; j < face.joints.size(); ++j) {
        YearJoint& joint = face.joints[j];
        const YearJoint& today = d.joints[f][j];
        joint.shows_hours += today.shows_hours;
        joint.faint_hours += today.faint_hours;
        if (today.worst.visibility <= joint.worst.visibility) continue;
        joint.worst = today.worst;
        joint.worst_at = today.worst_at;
      }
    }
    result.days.push_back(std::move(d.day));
  }
  look_again_at_worst(study, parts, result);
  return result;
}

double clear_share(const Study& study, const Climate& climate, double jd_ut) {
  const double sunshine = sunshine_share(study.job.site, jd_ut, climate);
  if (sunshine >= 0) return sunshine;
  const double cover = climate_hour(jd_ut, climate).cover;
  return cover >= 0 ? 1 - cover : 0;
}

void weigh(const Study& study, const Climate& climate, Year& clear, const Year& overcast) {
  const auto shown_hours = [](const Year& year, std::size_t face, std::size_t day, double from, double to) {
    double sum = 0;
    for (const YearRun& run : year.days[day].runs[face])
      if (run.verdict == Verdict::shows) sum += 24 * std::max(0.0, std::min(run.to, to) - std::max(run.from, from));
    return sum;
  };
  for (YearFace& face : clear.faces) face.expected_shows_hours = 0;
  for (std::size_t d = 0; d < clear.days.size(); ++d) {
    const YearDay& day = clear.days[d];
    for (int h = 0; h < 24; ++h) {
      const double from = day.from + (day.to - day.from) * h / 24, to = day.from + (day.to - day.from) * (h + 1) / 24;
      const double share = clear_share(study, climate, 0.5 * (from + to));
      for (std::size_t f = 0; f < clear.faces.size(); ++f)
        clear.faces[f].expected_shows_hours += share * shown_hours(clear, f, d, from, to) + (1 - share) * shown_hours(overcast, f, d, from, to);
    }
  }
}

}  // namespace rakelight
