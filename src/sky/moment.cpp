// From a time on a clock at the site to an instant, and to the sky and lamps of a moment. The rules of time zones
// come from the system's time zone database.
#include <date/tz.h>
#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <cstdlib>
#include <stdexcept>

#include "base/text.h"
#include "base/units.h"
#include "sky/sky.h"

namespace rakelight {
namespace {

using date::local_seconds;
using date::sys_seconds;
using std::chrono::hours;
using std::chrono::minutes;
using std::chrono::seconds;

std::string offset_text(seconds offset) {
  auto total = std::abs(date::round<minutes>(offset).count());
  return fmt::format("{}{:02}:{:02}", offset.count() < 0 ? '-' : '+', total / 60, total % 60);
}

std::string clock_text(local_seconds t) {
  auto day = date::floor<date::days>(t);
  date::year_month_day ymd(day);
  date::hh_mm_ss<seconds> clock(t - day);
  std::string out = fmt::format("{:04}-{:02}-{:02} {:02}:{:02}", static_cast<int>(ymd.year()), static_cast<unsigned>(ymd.month()),
                                static_cast<unsigned>(ymd.day()), clock.hours().count(), clock.minutes().count());
  if (clock.seconds().count() != 0) out += fmt::format(":{:02}", clock.seconds().count());
  return out;
}

// Throws std::runtime_error when the machine has no database: that is no fault of the job.
const std::vector<date::time_zone>& all_zones() {
  try {
    const auto& zones = date::get_tzdb().zones;
    if (!zones.empty()) return zones;
  } catch (const std::exception&) {
    // told below in words that help
  }
  throw std::runtime_error("no time zone database on this machine (/usr/share/zoneinfo; on Debian: tzdata)");
}

const date::time_zone* find_zone(const std::string& name) {
  const auto& zones = all_zones();
  auto it = std::find_if(zones.begin(), zones.end(), [&](const date::time_zone& z) { return z.name() == name; });
  return it == zones.end() ? nullptr : &*it;
}

std::string nearest_zone(const std::string& name) {
  std::vector<std::string> names;
  for (const date::time_zone& z : all_zones()) names.push_back(z.name());
  return nearest_word(name, names);
}

struct Instant {
  sys_seconds utc;
  double fraction = 0;  ///< s
  std::string text;
};

std::string with_offset(const LocalTime& t, seconds offset) {
  return fmt::format("{:04}-{:02}-{:02}T{:02}:{:02}:{:02}{}", t.year, t.month, t.day, t.hour, t.minute, static_cast<int>(t.second),
                     offset_text(offset));
}

std::optional<Instant> instant_of(const SiteSpec& site, const LocalTime& t, Span at, Diagnostics& diagnostics) {
  date::year_month_day day{date::year(t.year), date::month(static_cast<unsigned>(t.month)), date::day(static_cast<unsigned>(t.day))};
  bool on_clock = t.hour >= 0 && t.hour < 24 && t.minute >= 0 && t.minute < 60 && t.second >= 0 && t.second < 60;
  bool offset_fits = !t.offset_minutes || std::abs(*t.offset_minutes) < 24 * 60;
  if (!day.ok() || t.month < 1 || t.day < 1 || t.year < 1 || t.year > 9999 || !on_clock || !offset_fits) {
    diagnostics.error(at, "no such date or time", "a date and time such as 2026-06-21T20:40:00");
    return std::nullopt;
  }
  int whole = static_cast<int>(t.second);
  local_seconds local = date::local_days(day) + hours(t.hour) + minutes(t.minute) + seconds(whole);
  Instant out;
  out.fraction = t.second - whole;

  if (site.time_zone->empty()) {
    if (!t.offset_minutes) {
      diagnostics.error(at, "a time without a time zone",
                        "time_zone under [site], such as \"Europe/London\", or the offset beside the time: " +
                            with_offset(t, seconds(0)));
      return std::nullopt;
    }
    minutes offset(*t.offset_minutes);
    out.utc = sys_seconds(local.time_since_epoch() - offset);
    out.text = clock_text(local) + " " + offset_text(offset);
    return out;
  }
  const date::time_zone* zone = find_zone(*site.time_zone);
  if (zone == nullptr) {
    std::string near = nearest_zone(*site.time_zone);
    diagnostics.error(site.time_zone.at, "unknown time zone \"" + *site.time_zone + "\"",
                      near.empty() ? "an IANA name such as \"Europe/London\"" : "did you mean \"" + near + "\"?");
    return std::nullopt;
  }
  if (t.offset_minutes) {
    out.utc = sys_seconds(local.time_since_epoch() - minutes(*t.offset_minutes));
  } else {
    date::local_info info = zone->get_info(local);
    if (info.result != date::local_info::unique) {
      bool skipped = info.result == date::local_info::nonexistent;
      diagnostics.error(at, fmt::format("{} {} in {} when the clocks change", clock_text(local),
                                        skipped ? "does not exist" : "comes twice", *site.time_zone),
                        fmt::format("the offset beside the time: {} or {}", with_offset(t, info.first.offset), with_offset(t, info.second.offset)));
      return std::nullopt;
    }
    out.utc = sys_seconds(local.time_since_epoch() - info.first.offset);
  }
  seconds offset = zone->get_info(out.utc).offset;
  local_seconds at_site(out.utc.time_since_epoch() + offset);
  out.text = clock_text(at_site) + " " + offset_text(offset);
  if (t.offset_minutes && offset != minutes(*t.offset_minutes))
    diagnostics.warn(at, fmt::format("{} does not keep the offset {} then", *site.time_zone, offset_text(minutes(*t.offset_minutes))),
                     "on the site's clocks this is " + out.text);
  return out;
}

double julian_date(const Instant& t) {
  constexpr double jd_of_1970 = 2440587.5;
  return jd_of_1970 + (static_cast<double>(t.utc.time_since_epoch().count()) + t.fraction) / 86400;
}

std::vector<bool> lamps_on(const Job& job, const MomentSpec& spec, Diagnostics& diagnostics) {
  std::vector<bool> on(job.lamps.size(), spec.all_lamps);
  for (const std::string& word : *spec.lamps) {
    bool found = false;
    for (std::size_t i = 0; i < job.lamps.size(); ++i)
      if (*job.lamps[i].name == word || (!word.empty() && *job.lamps[i].group == word)) on[i] = found = true;
    if (found) continue;
    std::vector<std::string> known;
    for (const LampSpec& lamp : job.lamps)
      for (const std::string& name : {*lamp.name, *lamp.group})
        if (!name.empty()) known.push_back(name);
    std::string near = nearest_word(word, known);
    diagnostics.error(spec.lamps.at, "no lamp or group is called \"" + word + "\"",
                      near.empty() ? "the name or group of a [[lamp]]" : "did you mean \"" + near + "\"?");
  }
  return on;
}

int iso_type_of(const MomentSpec& spec) {
  switch (*spec.sky) {
    case SkyName::clear: return 12;
    case SkyName::overcast: return 1;
    case SkyName::iso_type: return spec.iso_type;
    case SkyName::none: break;
  }
  return 0;
}

std::string sky_text_of(const MomentSpec& spec) {
  switch (*spec.sky) {
    case SkyName::clear: return "clear";
    case SkyName::overcast: return "overcast";
    case SkyName::iso_type: return fmt::format("ISO 15469 type {}", spec.iso_type);
    case SkyName::none: break;
  }
  return "none";
}

bool read_digits(std::string_view text, std::size_t at, std::size_t count, int& value) {
  if (at + count > text.size()) return false;
  for (std::size_t i = at; i < at + count; ++i)
    if (text[i] < '0' || text[i] > '9') return false;
  std::from_chars(text.data() + at, text.data() + at + count, value);
  return true;
}

// YYYY-MM-DD, T or space, HH:MM, maybe :SS, maybe a space, maybe Z or ±HH:MM
std::optional<LocalTime> read_time(std::string_view text) {
  LocalTime t;
  auto mark = [&](std::size_t at, std::string_view any) { return at < text.size() && any.find(text[at]) != std::string_view::npos; };
  if (!read_digits(text, 0, 4, t.year) || !mark(4, "-") || !read_digits(text, 5, 2, t.month) || !mark(7, "-") ||
      !read_digits(text, 8, 2, t.day) || !mark(10, "T t") || !read_digits(text, 11, 2, t.hour) || !mark(13, ":") ||
      !read_digits(text, 14, 2, t.minute))
    return std::nullopt;
  std::size_t at = 16;
  if (mark(at, ":")) {
    int second = 0;
    if (!read_digits(text, at + 1, 2, second)) return std::nullopt;
    t.second = second;
    at += 3;
  }
  if (mark(at, " ")) ++at;
  if (at == text.size()) return t;
  if (mark(at, "Zz") && at + 1 == text.size()) {
    t.offset_minutes = 0;
    return t;
  }
  int hour = 0, minute = 0;
  if (!mark(at, "+-") || !read_digits(text, at + 1, 2, hour) || !mark(at + 3, ":") || !read_digits(text, at + 4, 2, minute) ||
      minute > 59 || at + 6 != text.size())
    return std::nullopt;
  t.offset_minutes = (text[at] == '-' ? -1 : 1) * (hour * 60 + minute);
  return t;
}

}  // namespace

std::optional<Moment> make_moment(const Job& job, const MomentSpec& spec, Diagnostics& diagnostics) {
  Diagnostics own;
  Moment m;
  m.name = *spec.name;
  m.sky_text = sky_text_of(spec);
  m.lamp_on = lamps_on(job, spec, own);
  int type = iso_type_of(spec);
  bool lit_from_outside = *spec.sky != SkyName::none;
  if (lit_from_outside && (type < 1 || type > 15)) {
    own.error(spec.sky.at, fmt::format("no ISO 15469 sky type {}", type), "1 to 15");
    lit_from_outside = false;
  }
  if (lit_from_outside && !spec.time.given)
    own.error(spec.at, fmt::format("moment {} has a sky but no time", m.name), "at = a date and time, or sky = \"none\" for lamps alone");
  if (lit_from_outside && !(job.site.latitude_deg.given && job.site.longitude_deg.given))
    own.error(job.site.at, fmt::format("moment {} has a sky, so the site must be known", m.name),
              "latitude and longitude under [site], or sky = \"none\" for lamps alone");
  if (spec.time.given) {
    if (auto instant = instant_of(job.site, *spec.time, spec.time.at, own)) {
      m.jd_ut = julian_date(*instant);
      m.at_text = instant->text;
    }
  }
  if (own.ok() && lit_from_outside) m.sky = make_sky(job.site, m.jd_ut, type);
  for (const Diagnostic& d : own.all()) {
    if (d.level == Diagnostic::Level::error) diagnostics.error(d.at, d.wrong, d.right, d.other, d.other_says);
    else diagnostics.warn(d.at, d.wrong, d.right, d.other, d.other_says);
  }
  if (!own.ok()) return std::nullopt;
  return m;
}

std::vector<Moment> make_moments(const Job& job, Diagnostics& diagnostics) {
  std::vector<Moment> out;
  for (const MomentSpec& spec : job.moments)
    if (auto m = make_moment(job, spec, diagnostics)) out.push_back(std::move(*m));
  return out;
}

std::optional<Moment> moment_at(const Job& job, const std::string& local_time, Diagnostics& diagnostics) {
  auto time = read_time(local_time);
  if (!time) {
    diagnostics.error({}, "\"" + local_time + "\" is no local time",
                      "a time such as 2026-06-21T20:40, with an offset (+01:00) where clocks change");
    return std::nullopt;
  }
  MomentSpec spec;
  spec.name = local_time;
  spec.time = *time;
  spec.time.given = true;
  spec.sky = SkyName::clear;
  return make_moment(job, spec, diagnostics);
}

}  // namespace rakelight
