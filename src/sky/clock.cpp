#include "sky/clock.h"

#include <date/tz.h>
#include <fmt/format.h>

#include <algorithm>
#include <cstdlib>
#include <stdexcept>
#include <vector>

#include "base/text.h"

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

std::string with_offset(const LocalTime& t, seconds offset) {
  return fmt::format("{:04}-{:02}-{:02}T{:02}:{:02}:{:02}{}", t.year, t.month, t.day, t.hour, t.minute, static_cast<int>(t.second),
                     offset_text(offset));
}

}  // namespace

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

long clock_offset(const SiteSpec& site, UtcSeconds utc) {
  const date::time_zone* zone = site.time_zone->empty() ? nullptr : find_zone(*site.time_zone);
  return zone == nullptr ? 0 : static_cast<long>(zone->get_info(utc).offset.count());
}

UtcSeconds day_start(const SiteSpec& site, int year, int month, int day) {
  const local_seconds local = date::local_days(date::year(year) / month / day);
  const date::time_zone* zone = site.time_zone->empty() ? nullptr : find_zone(*site.time_zone);
  if (zone == nullptr) return sys_seconds(local.time_since_epoch());
  return zone->to_sys(local, date::choose::earliest);
}

}  // namespace rakelight
