#include "sky/bearing.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "base/text.h"
#include "base/units.h"
#include "sky/clock.h"

namespace rakelight {
namespace {

/// A bearing of plan +y at which the sun runs along the wall, and the window that lets it in.
struct Solution {
  double north = 0;
  std::string window;   // empty: none
  double away = std::numeric_limits<double>::infinity();  // of the window from the wall, m
};

std::string bearing_text(double north) {
  double degrees = std::fmod(north * deg_per_rad, 360.0);
  if (degrees < 0) degrees += 360;
  return fixed_text(degrees, 1) + "°";
}

// The window nearest to a wall through which light travelling along `-towards` (plan) enters the room and meets that wall's face.
void find_window(const Job& job, std::size_t wall, dvec2 towards, Solution& s) {
  const auto& corners = *job.room.corners;
  const auto corner = [&](std::size_t i) { return corners[i % corners.size()]; };
  const dvec2 foot = corner(wall), along = glm::normalize(corner(wall + 1) - foot), in{along.y, -along.x};
  for (const WindowSpec& window : job.windows) {
    std::size_t other = 0;
    while (other < job.room.walls.size() && *job.room.walls[other] != *window.wall) ++other;
    if (other >= job.room.walls.size() || other == wall) continue;
    const dvec2 from = corner(other), direction = glm::normalize(corner(other + 1) - from), inwards{direction.y, -direction.x};
    if (glm::dot(towards, inwards) > -1e-3) continue;  // the sun stands behind that wall's plane, or along it
    const dvec2 left = from + *window.from_left * direction, right = left + *window.width * direction;
    const double away = std::min(glm::dot(left - foot, in), glm::dot(right - foot, in));
    if (std::max(glm::dot(left - foot, in), glm::dot(right - foot, in)) <= 0 || away >= s.away) continue;
    s.away = away;
    s.window = *window.name;
  }
}

void locate_by_sun(const Job& job, SiteSpec& site, Diagnostics& diagnostics) {
  const SeenSun& seen = *site.seen;
  const auto& corners = *job.room.corners;
  std::size_t wall = 0;
  while (wall < job.room.walls.size() && *job.room.walls[wall] != seen.wall) ++wall;
  if (wall >= job.room.walls.size() || corners.size() < 3) return;  // reported with the names
  if (!(site.latitude_deg.given || !site.time_zone->empty())) {
    diagnostics.error(site.seen.at, "where the sun was seen says nothing without a place", "latitude and longitude, or a time_zone, in [site]");
    return;
  }
  const auto instant = instant_of(site, seen.time, site.seen.at, diagnostics);
  if (!instant) return;
  const SunPosition sun = sun_position(julian_date(*instant), *site.latitude_deg * rad_per_deg, *site.longitude_deg * rad_per_deg);
  if (sun.apparent_altitude < 0) {
    diagnostics.error(site.seen.at, fmt::format("the sun was {}° under the horizon at {}", fixed_text(-sun.apparent_altitude * deg_per_rad, 1), instant->text),
                      "a time at which it shone along the wall");
    return;
  }
  const dvec2 along = glm::normalize(corners[(wall + 1) % corners.size()] - corners[wall]);
  Solution way[2];
  for (int k = 0; k < 2; ++k) {
    const dvec2 towards = k == 0 ? along : -along;
    way[k].north = sun.azimuth - std::atan2(towards.x, towards.y);
    find_window(job, wall, towards, way[k]);
  }
  const int taken = way[1].away < way[0].away ? 1 : 0;
  if (way[taken].window.empty()) {
    diagnostics.error(site.seen.at, fmt::format("no window lets the sun run along wall {}", seen.wall),
                      "a [[window]] in a wall that meets it, or north as a bearing");
    return;
  }
  const Solution& other = way[1 - taken];
  site.north.value = std::fmod(way[taken].north + 4 * pi, 2 * pi);
  site.north_from = fmt::format("from the sun along wall {} at {} (azimuth {}), in through window {}; {}", seen.wall, instant->text, bearing_text(sun.azimuth),
                                way[taken].window,
                                other.window.empty() ? fmt::format("the opposite bearing {} has no window for it", bearing_text(other.north))
                                                     : fmt::format("through {}, farther from the wall, it would be {}", other.window, bearing_text(other.north)));
}

}  // namespace

SiteSpec located(const Job& job, Diagnostics& diagnostics) {
  SiteSpec site = job.site;
  if (site.seen.given) {
    locate_by_sun(job, site, diagnostics);
  } else if (*site.magnetic) {
    site.north_from = fmt::format("{} by compass, declination {}°", bearing_text(*site.north), fixed_text(*site.declination * deg_per_rad, 1));
    site.north.value += *site.declination;
    // so that the site can be located again without turning twice
    site.magnetic.value = false;
  }
  return site;
}

}  // namespace rakelight
