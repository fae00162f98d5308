#include <cmath>
#include <fmt/format.h>

#include "base/text.h"
#include "base/units.h"
#include "job/fields.h"
#include "job/lamps.h"
#include "job/windows.h"
#include "job/keys.h"

namespace rakelight {
namespace {

/// Collects the defaults of one table, in the order of the key table.
class Collector {
 public:
  Collector(const Job& job, std::vector<Assumed>& out) : job_(job), out_(out) {}

  /// `prefix`: "window.W1"; `fields(f)` visits the table's keys.
  template <class Visit> void table(std::string_view name, const std::string& prefix, Visit&& visit) {
    std::vector<std::string_view> defaulted;
    visit([&](std::string_view key, const auto& value) {
      if (!value.given) defaulted.push_back(key);
    });
    for (const KeyRow& row : key_rows())
      if (row.table == name && !row.standard.empty() && !row.why.empty())
        for (std::string_view key : defaulted)
          if (key == row.key) out_.push_back({prefix + "." + std::string(key), standard_text(row, job_.units), std::string(row.why)});
  }

 private:
  const Job& job_;
  std::vector<Assumed>& out_;
};

}  // namespace

std::vector<Assumed> assumed(const Job& job) {
  std::vector<Assumed> out;
  Collector collect(job, out);
  const SiteSpec& site = job.site;
  if (!site.latitude_deg.given && !site.time_zone->empty()) {
    std::string city = site.time_zone->substr(site.time_zone->rfind('/') + 1);
    for (char& c : city)
      if (c == '_') c = ' ';
    const std::string why = "approximate: " + city + ", the city of the time zone";
    out.push_back({"site.latitude", fixed_text(*site.latitude_deg, 2) + " degrees", why});
    out.push_back({"site.longitude", fixed_text(*site.longitude_deg, 2) + " degrees", why});
  }
  bool sky = false;
  for (const auto& m : job.moments) sky = sky || *m.sky != SkyName::none;
  // without a sky nothing of the site enters a result
  if (sky || site.at.known()) collect.table("site", "site", [&](auto f) { site_fields(site, f); });
  if (!site.north_from.empty()) {
    std::erase_if(out, [](const Assumed& a) { return a.key == "site.north"; });
    double degrees = std::fmod(*site.north * deg_per_rad, 360.0);
    out.push_back({"site.north", fixed_text(degrees < 0 ? degrees + 360 : degrees, 1) + " degrees", site.north_from});
  }
  collect.table("room", "room", [&](auto f) { room_fields(job.room, f); });
  for (const auto& w : job.windows) {
    collect.table("window", "window." + *w.name, [&](auto f) { window_fields(w, f); });
    const bool roof = *w.wall == "ceiling";
    if (roof) std::erase_if(out, [&](const Assumed& a) { return a.key == "window." + *w.name + ".sill"; });
    const std::vector<Assumed> more = assumed_window(w);
    out.insert(out.end(), more.begin(), more.end());
  }
  for (std::size_t i = 0; i < job.doors.size(); ++i)
    collect.table("door", fmt::format("door[{}]", i), [&](auto f) { door_fields(job.doors[i], f); });
  for (const auto& l : job.lamps) {
    const std::vector<Assumed> usual = assumed_lamp(l, job.units);
    if (usual.empty() && l.photometry->empty()) collect.table("lamp", "lamp." + *l.name, [&](auto f) { lamp_fields(l, f); });
    out.insert(out.end(), usual.begin(), usual.end());
  }
  for (const auto& s : job.surfaces) collect.table("surface", "surface." + *s.name, [&](auto f) { surface_fields(s, f); });
  for (const auto& s : job.surfaces) collect.table("surface.paint", "surface." + *s.name + ".paint", [&](auto f) { paint_fields(s.paint, f); });
  for (const auto& s : job.surfaces)
    if (!s.level.given && !s.level->empty()) out.push_back({"surface." + *s.name + ".level", *s.level, "the level that the scheme means when none is named"});
  if (job.framing.at.known()) collect.table("framing", "framing", [&](auto f) { framing_fields(job.framing, f); });
  if (job.access.at.known()) collect.table("access", "access", [&](auto f) { access_fields(job.access, f); });
  collect.table("finishing", "finishing", [&](auto f) { finishing_fields(job.finishing, f); });
  if (const auto& m = job.finishing.measured)
    collect.table("finishing.workmanship", "finishing.workmanship", [&](auto f) { measured_fields(*m, f); });
  for (const auto& m : job.moments) collect.table("moment", "moment." + *m.name, [&](auto f) { moment_fields(m, f); });
  collect.table("verdict", "verdict", [&](auto f) { verdict_fields(job.verdict, f); });
  return out;
}

std::vector<Assumed> assumed_for_paper(const Job& job) {
  std::vector<Assumed> out;
  Collector collect(job, out);
  collect.table("drying", "drying", [&](auto f) { drying_fields(job.drying, f); });
  collect.table("paper", "paper", [&](auto f) { paper_fields(job.paper, f); });
  return out;
}

}  // namespace rakelight
