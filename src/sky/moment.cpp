// The sky and lamps of a moment.
#include <fmt/format.h>

#include <charconv>
#include <chrono>
#include <cmath>

#include "base/text.h"
#include "base/units.h"
#include "sky/climate.h"
#include "sky/clock.h"
#include "sky/sky.h"

namespace rakelight {
namespace {

/// What a list says of one lamp; a later item overrides an earlier one.
void set_lamp(const Job& job, const LampUse& use, int lamp, Moment& m, Diagnostics& diagnostics) {
  m.lamp_on[lamp] = *use.dim;
  if (!use.position.given && !use.aim.given) return;
  const LampSpec& spec = job.lamps[lamp];
  if (*spec.kind != LampKind::hand) {
    diagnostics.error(use.position.given ? use.position.at : use.aim.at, "lamp " + *spec.name + " cannot be moved from moment to moment",
                      "kind = \"hand\" for it, or no place here", spec.kind.at, "its kind is given here");
    return;
  }
  std::erase_if(m.held, [&](const HeldLamp& h) { return h.lamp == lamp; });
  m.held.push_back({lamp, use.position.given ? *use.position : *spec.position, use.aim.given ? *use.aim : *spec.aim});
}

void set_lamps(const Job& job, const MomentSpec& spec, Moment& m, Diagnostics& diagnostics) {
  m.lamp_on.assign(job.lamps.size(), spec.all_lamps ? 1 : 0);
  for (std::size_t k = 0; k < spec.lamps->size(); ++k) {
    const std::string& word = (*spec.lamps)[k];
    LampUse use;
    if (k < spec.lamp_uses.size()) use = spec.lamp_uses[k];
    bool found = false;
    for (std::size_t i = 0; i < job.lamps.size(); ++i)
      if (*job.lamps[i].name == word || (!word.empty() && *job.lamps[i].group == word)) {
        set_lamp(job, use, static_cast<int>(i), m, diagnostics);
        found = true;
      }
    if (found) continue;
    std::vector<std::string> known;
    for (const LampSpec& lamp : job.lamps)
      for (const std::string& name : {*lamp.name, *lamp.group})
        if (!name.empty()) known.push_back(name);
    std::string near = nearest_word(word, known);
    diagnostics.error(spec.lamps.at, "no lamp or group is called \"" + word + "\"",
                      near.empty() ? "the name or group of a [[lamp]]" : "did you mean \"" + near + "\"?");
  }
}

int iso_type_of(const MomentSpec& spec) {
  switch (*spec.sky) {
    case SkyName::clear: return clear_type;
    case SkyName::overcast: return overcast_type;
    case SkyName::intermediate: return intermediate_type;
    case SkyName::iso_type: return spec.iso_type;
    case SkyName::automatic: case SkyName::none: break;
  }
  return 0;
}

std::string sky_text_of(const MomentSpec& spec) {
  switch (*spec.sky) {
    case SkyName::clear: return "clear";
    case SkyName::overcast: return "overcast";
    case SkyName::intermediate: return "intermediate";
    case SkyName::automatic: return "auto";
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

std::optional<Moment> make_moment(const Job& job, const MomentSpec& spec, Diagnostics& diagnostics, const Climate* climate) {
  Diagnostics own;
  Moment m;
  m.name = *spec.name;
  m.sky_text = sky_text_of(spec);
  set_lamps(job, spec, m, own);
  int type = iso_type_of(spec);
  bool lit_from_outside = *spec.sky != SkyName::none;
  const bool automatic = *spec.sky == SkyName::automatic;
  if (lit_from_outside && !automatic && (type < 1 || type > 15)) {
    own.error(spec.sky.at, fmt::format("no ISO 15469 sky type {}", type), "1 to 15");
    lit_from_outside = false;
  }
  if (lit_from_outside && !spec.time.given)
    own.error(spec.at, fmt::format("moment {} has a sky but no time", m.name), "at = a date and time, or sky = \"none\" for lamps alone");
  // without coordinates the city of the zone stands in
  if (lit_from_outside && !job.site.latitude_deg.given && job.site.time_zone->empty())
    own.error(job.site.at, fmt::format("moment {} has a sky, so the site must be known", m.name),
              "latitude and longitude under [site], or sky = \"none\" for lamps alone");
  if (spec.time.given) {
    if (auto instant = instant_of(job.site, *spec.time, spec.time.at, own)) {
      m.jd_ut = julian_date(*instant);
      m.at_text = instant->text;
    }
  }
  if (own.ok() && lit_from_outside) {
    if (automatic && climate) {
      m.sky = make_climate_sky(job.site, m.jd_ut, *climate);
    } else if (automatic) {
      type = season_type(job.site, m.jd_ut);
      m.sky = make_sky(job.site, m.jd_ut, type);
      m.sky_text = "auto: " + type_text(type);
      m.sky.note += (m.sky.note.empty() ? "" : "; ") + std::string("the sky is chosen by the season alone");
    } else {
      m.sky = make_sky(job.site, m.jd_ut, type);
    }
    if (automatic && climate) m.sky_text = m.sky.iso_type > 0 ? "auto: " + type_text(m.sky.iso_type) : "auto: the climate's hour";
  }
  for (const Diagnostic& d : own.all()) {
    if (d.level == Diagnostic::Level::error) diagnostics.error(d.at, d.wrong, d.right, d.other, d.other_says);
    else diagnostics.warn(d.at, d.wrong, d.right, d.other, d.other_says);
  }
  if (!own.ok()) return std::nullopt;
  return m;
}

std::optional<Moment> moment_like(const Job& job, const MomentSpec& like, double jd_ut, Diagnostics& diagnostics, const Climate* climate) {
  using namespace std::chrono;
  constexpr double jd_of_1970 = 2440587.5;
  const sys_seconds utc{seconds(std::llround((jd_ut - jd_of_1970) * 86400))};
  const sys_days day = floor<days>(utc);
  const year_month_day date(day);
  const hh_mm_ss clock(utc - day);
  MomentSpec spec = like;
  LocalTime& t = spec.time.value;
  t = {static_cast<int>(date.year()), static_cast<int>(static_cast<unsigned>(date.month())), static_cast<int>(static_cast<unsigned>(date.day())),
       static_cast<int>(clock.hours().count()), static_cast<int>(clock.minutes().count()), static_cast<double>(clock.seconds().count()), 0};
  spec.time.given = true;
  Diagnostics own;  // that the site's clocks are not UTC is no news
  auto moment = make_moment(job, spec, own, climate);
  if (!moment)
    for (const Diagnostic& d : own.all())
      if (d.level == Diagnostic::Level::error) diagnostics.error(d.at, d.wrong, d.right, d.other, d.other_says);
  return moment;
}

std::vector<Moment> make_moments(const Job& job, Diagnostics& diagnostics, const Climate* climate) {
  std::vector<Moment> out;
  for (const MomentSpec& spec : job.moments)
    if (auto m = make_moment(job, spec, diagnostics, climate)) out.push_back(std::move(*m));
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
