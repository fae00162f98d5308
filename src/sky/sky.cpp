// The sky of a moment: level from sky/daylight.cpp, distribution from ISO 15469:2004.
#include "sky/sky.h"

#include <algorithm>
#include <cassert>
#include <cmath>

#include "base/quadrature.h"
#include "base/text.h"
#include "base/units.h"
#include "kernel/sun.h"
#include "sky/spa.h"

namespace rakelight {
namespace {

// plan +y points to the bearing `north`, plan +x a quarter turn clockwise of it
dvec3 plan_direction(double azimuth, double altitude, double north) {
  return {std::cos(altitude) * std::sin(azimuth - north), std::cos(altitude) * std::cos(azimuth - north), std::sin(altitude)};
}

// Integral of relative luminance times sine of altitude over the strip lo..hi of altitude.
double strip(const kernel::Outside& o, double sun_azimuth, double lo, double hi) {
  if (hi <= lo) return 0;
  const auto& nodes = gauss_nodes(32);
  // half a turn, the other half being its mirror image; nodes crowd towards the sun
  struct Round { double x, y, weight; };
  std::vector<Round> half;
  for (const Node& round : nodes) {
    const double azimuth = sun_azimuth + pi * round.x * round.x;
    half.push_back({std::sin(azimuth), std::cos(azimuth), round.weight * 2 * pi * round.x});
  }
  double sum = 0;
  for (const Node& up : nodes) {
    // nodes crowd towards both ends: the horizon's gradation and the sun's corona are steep there
    double t = up.x * up.x * (3 - 2 * up.x), dt = 6 * up.x * (1 - up.x);
    double altitude = lo + (hi - lo) * t, level = std::cos(altitude), rise = std::sin(altitude);
    double ring = 0;
    for (const Round& round : half)
      ring += round.weight * kernel::iso_indicatrix(kernel::angle_between(dvec3(level * round.x, level * round.y, rise), o.sun), o.c, o.d, o.e);
    sum += up.weight * dt * 2 * ring * kernel::iso_gradation(rise, o.a, o.b) * rise * level;
  }
  return sum * (hi - lo);
}

std::string degrees_text(double angle) { return fixed_text(angle * deg_per_rad, 1) + "°"; }

}  // namespace

IsoType iso_type(int type) {
  static constexpr IsoType types[] = {
      {4, -0.70, 0, -1, 0},        {4, -0.70, 2, -1.5, 0.15},    {1.1, -0.80, 0, -1, 0},
      {1.1, -0.80, 2, -1.5, 0.15}, {0, -1, 0, -1, 0},            {0, -1, 2, -1.5, 0.15},
      {0, -1, 5, -2.5, 0.30},      {0, -1, 10, -3, 0.45},        {-1, -0.55, 2, -1.5, 0.15},
      {-1, -0.55, 5, -2.5, 0.30},  {-1, -0.55, 10, -3, 0.45},    {-1, -0.32, 10, -3, 0.45},
      {-1, -0.32, 16, -3, 0.30},   {-1, -0.15, 16, -3, 0.30},    {-1, -0.15, 24, -2.8, 0.15},
  };
  assert(type >= 1 && type <= 15);
  return types[type - 1];
}

kernel::Outside outside_of(const SkyState& sky) {
  kernel::Outside o{};
  o.sun = sky.indicatrix_sun;
  o.a = sky.a;
  o.b = sky.b;
  o.c = sky.c;
  o.d = sky.d;
  o.e = sky.e;
  o.scale = sky.zenith_luminance / kernel::sky_relative(o, dvec3(0, 0, 1));
  o.skyline_altitude = sky.skyline;
  o.skyline_luminance = sky.skyline_luminance;
  o.ground_luminance = sky.ground_luminance;
  return o;
}

double horizontal_per_zenith(const SkyState& sky) {
  kernel::Outside o = outside_of(sky);
  double sun_altitude = std::asin(std::clamp(o.sun.z, 0.0, 1.0));
  double sun_azimuth = std::atan2(o.sun.x, o.sun.y);
  return (strip(o, sun_azimuth, 0, sun_altitude) + strip(o, sun_azimuth, sun_altitude, pi / 2)) /
         kernel::sky_relative(o, dvec3(0, 0, 1));
}

double sky_luminance(const SkyState& sky, dvec3 direction) {
  kernel::Outside o = outside_of(sky);
  return o.scale * kernel::sky_relative(o, direction);
}

std::string type_text(int type) {
  switch (type) {
    case clear_type: return "clear";
    case overcast_type: return "overcast";
    case intermediate_type: return "intermediate";
    default: return "ISO 15469 type " + std::to_string(type);
  }
}

int season_type(const SiteSpec& site, double jd_ut) {
  constexpr double obliquity_deg = 23.44;
  const double latitude_deg = *site.latitude_deg;
  if (std::abs(latitude_deg) <= obliquity_deg) return clear_type;
  const double declination_deg = spa({.jd_ut = jd_ut}).delta * (latitude_deg > 0 ? 1 : -1);
  return declination_deg >= obliquity_deg / 2 ? clear_type : declination_deg >= -obliquity_deg / 2 ? intermediate_type : overcast_type;
}

dvec3 sun_direction(const SiteSpec& site, const SunPosition& sun) { return plan_direction(sun.azimuth, sun.apparent_altitude, *site.north); }

SkyState sky_with_sun(const SiteSpec& site, const SunPosition& sun) {
  SkyState s;
  s.sun = sun;
  s.sun_direction = plan_direction(s.sun.azimuth, s.sun.apparent_altitude, *site.north);
  s.indicatrix_sun = plan_direction(s.sun.azimuth, std::max(0.0, s.sun.apparent_altitude), *site.north);
  static_cast<Outskirts&>(s) = outskirts(site);
  return s;
}

double Outskirts::skyline_at(double azimuth) const {
  const auto& p = skyline_points;
  if (p.size() < 2) return skyline;
  azimuth -= 2 * pi * std::floor((azimuth - p.front().x) / (2 * pi));
  const auto after = std::upper_bound(p.begin() + 1, p.end() - 1, azimuth, [](double a, dvec2 q) { return a < q.x; });
  const dvec2 a = after[-1], b = after[0];
  return a.y + (b.y - a.y) * std::clamp((azimuth - a.x) / std::max(b.x - a.x, 1e-9), 0.0, 1.0);
}

Outskirts outskirts(const SiteSpec& site) {
  Outskirts o;
  o.skyline = *site.skyline;
  o.ground_below = *site.ground_below;
  o.house_height = *site.house_height;
  if (site.skyline_points.empty()) return o;
  // bearings run the other way round
  for (auto p = site.skyline_points.rbegin(); p != site.skyline_points.rend(); ++p)
    o.skyline_points.emplace_back(pi / 2 - (p->x - *site.north), p->y);
  const dvec2 first = o.skyline_points.front();
  o.skyline_points.emplace_back(first.x + 2 * pi, first.y);
  return o;
}

double sun_over_skyline(const Outskirts& outskirts, dvec3 sun) {
  const double radius = kernel::sun_radius(), altitude = std::asin(std::clamp(sun.z, -1.0, 1.0));
  if (outskirts.skyline_points.size() < 2) return kernel::disc_share((altitude - outskirts.skyline) / radius);
  constexpr int slices = 32;
  const double azimuth = std::atan2(sun.y, sun.x), level = std::max(std::cos(altitude), 1e-6);
  double over = 0, all = 0;
  for (int i = 0; i < slices; ++i) {
    const double u = (2 * i + 1.0) / slices - 1, half = std::sqrt(1 - u * u);
    const double x = (altitude - outskirts.skyline_at(azimuth + u * radius / level)) / radius;
    over += half * std::clamp((x + half) / (2 * half), 0.0, 1.0);
    all += half;
  }
  return over / all;
}

namespace {

// The sun dimmed so that the sky keeps a share of the total.
SkyLevel levels(const SunPosition& sun, double direct_normal, double total) {
  constexpr double least_sky_share = 0.1;
  // the terminator's kernel also serves a horizontal plane, so the disc sets gradually
  const double share = kernel::disc_terminator(sun.apparent_altitude, kernel::sun_radius());
  SkyLevel level;
  level.total = total;
  if (direct_normal > 0 && share > 0) level.direct_normal = std::min(direct_normal, (1 - least_sky_share) * total / share);
  level.direct_horizontal = level.direct_normal * share;
  return level;
}

double named_direct_normal(const SiteSpec& site, const SunPosition& sun, int type) {
  const bool cloudless = type >= 11, disc = kernel::disc_terminator(sun.apparent_altitude, kernel::sun_radius()) > 0;
  return cloudless && disc ? direct_normal_illuminance(sun.apparent_altitude, *site.turbidity) : 0;
}

double named_total(const SunPosition& sun, int type) {
  const double clear = total_horizontal_illuminance(sun.altitude), overcast = overcast_horizontal_illuminance(sun.altitude);
  return type >= 11 ? clear : type <= 5 ? overcast : std::sqrt(clear * overcast);
}

}  // namespace

SkyLevel sky_level(const SiteSpec& site, const SunPosition& sun, int type) {
  return levels(sun, named_direct_normal(site, sun, type), named_total(sun, type));
}

void set_light(SkyState& s, const SiteSpec& site, double direct_normal, double total, const IsoType& distribution) {
  const SkyLevel level = levels(s.sun, direct_normal, total);
  s.sun_up = level.direct_normal > 0;
  s.direct_normal = level.direct_normal;
  s.direct_horizontal = level.direct_horizontal;
  s.diffuse_horizontal = total - s.direct_horizontal;
  s.dark = total <= 0;
  s.a = distribution.a;
  s.b = distribution.b;
  s.c = distribution.c;
  s.d = distribution.d;
  s.e = distribution.e;
  s.zenith_luminance = s.diffuse_horizontal / horizontal_per_zenith(s);
  s.skyline_luminance = *site.skyline_reflectance * total / (2 * pi);
  s.ground_luminance = *site.ground_reflectance * total / pi;
  s.shaded_ground_luminance = *site.ground_reflectance * s.diffuse_horizontal / pi;
  if (s.dark)
    s.note = "night: the sun is " + degrees_text(-s.sun.altitude) + " below the horizon; nothing comes from outside";
  else if (s.sun.apparent_altitude < 0)
    s.note = "sun " + degrees_text(-s.sun.apparent_altitude) +
             " below the horizon: the sky's distribution is taken with the sun on the horizon";
  else if (s.sun_up && s.direct_normal < direct_normal)
    s.note = "the sun is dimmed so that sun and sky give the published total: air this clean is outside the fit";
}

SkyState make_sky(const SiteSpec& site, double jd_ut, int type) {
  return make_sky(site, sun_position(jd_ut, *site.latitude_deg * rad_per_deg, *site.longitude_deg * rad_per_deg), type);
}

SkyState make_sky(const SiteSpec& site, const SunPosition& sun, int type) {
  SkyState s = sky_with_sun(site, sun);
  s.iso_type = type;
  set_light(s, site, named_direct_normal(site, sun, type), named_total(sun, type), iso_type(type));
  return s;
}

}  // namespace rakelight
