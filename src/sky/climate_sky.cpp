// From an hour's irradiances to the sky's level and distribution.
#include <date/date.h>
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/text.h"
#include "base/units.h"
#include "kernel/sky.h"
#include "sky/climate.h"

namespace rakelight {
namespace {

// Perez et al. 1990, bins of clearness: upper limits of 1 to 7
constexpr std::array<double, 7> bin_limit{1.065, 1.230, 1.500, 1.950, 2.800, 4.500, 6.200};

struct Efficacy { double a, b, c, d; };
// Table 4 of Perez et al. 1990. Read in a source: direct bins 6 and 8, diffuse bins 1 and 8; the others from memory.
constexpr std::array<Efficacy, 8> direct_terms{{{57.20, -4.55, -2.98, 117.12}, {98.99, -3.46, -1.21, 12.38}, {109.83, -4.90, -1.71, -8.81},
                                                {110.34, -5.84, -1.99, -4.56}, {106.36, -3.97, -1.75, -6.16}, {107.19, -1.25, -1.51, -26.73},
                                                {105.75, 0.77, -1.26, -34.44}, {101.18, 1.58, -1.10, -8.29}}};
constexpr std::array<Efficacy, 8> diffuse_terms{{{97.24, -0.46, 12.00, -8.91}, {107.22, 1.15, 0.59, -3.95}, {104.97, 2.96, -5.53, -8.77},
                                                 {102.39, 5.59, -13.95, -13.90}, {100.71, 5.94, -22.75, -23.74}, {106.42, 3.83, -36.15, -28.83},
                                                 {141.88, 1.90, -53.24, -14.03}, {152.23, 0.35, -45.27, -7.98}}};

// Table 1 of Perez et al. 1993: five parameters by four numbers each, bin by bin.
constexpr double distribution[8][20] = {
    {1.3525, -0.2576, -0.2690, -1.4366, -0.7670, 0.0007, 1.2734, -0.1233, 2.8000, 0.6004, 1.2375, 1.0000, 1.8734, 0.6297, 0.9738, 0.2809, 0.0356, -0.1246, -0.5718, 0.9938},
    {-1.2219, -0.7730, 1.4148, 1.1016, -0.2054, 0.0367, -3.9128, 0.9156, 6.9750, 0.1774, 6.4477, -0.1239, -1.5798, -0.5081, -1.7812, 0.1080, 0.2624, 0.0672, -0.2190, -0.4285},
    {-1.1000, -0.2515, 0.8952, 0.0156, 0.2782, -0.1812, -4.5000, 1.1766, 24.7219, -13.0812, -37.7000, 34.8438, -5.0000, 1.5218, 3.9229, -2.6204, -0.0156, 0.1597, 0.4199, -0.5562},
    {-0.5484, -0.6654, -0.2672, 0.7117, 0.7234, -0.6219, -5.6812, 2.6297, 33.3389, -18.3000, -62.2500, 52.0781, -3.5000, 0.0016, 1.1477, 0.1062, 0.4659, -0.3296, -0.0876, -0.0329},
    {-0.6000, -0.3566, -2.5000, 2.3250, 0.2937, 0.0496, -5.6812, 1.8415, 21.0000, -4.7656, -21.5906, 7.2492, -3.5000, -0.1554, 1.4062, 0.3988, 0.0032, 0.0766, -0.0656, -0.1294},
    {-1.0156, -0.3670, 1.0078, 1.4051, 0.2875, -0.5328, -3.8500, 3.3750, 14.0000, -0.9999, -7.1406, 7.5469, -3.4000, -0.1078, -1.0750, 1.5702, -0.0672, 0.4016, 0.3017, -0.4844},
    {-1.0000, 0.0211, 0.5025, -0.5119, -0.3000, 0.1922, 0.7023, -1.6317, 19.0000, -5.0000, 1.2438, -1.9094, -4.0000, 0.0250, 0.3844, 0.2656, 1.0468, -0.3788, -2.4517, 1.4656},
    {-1.0500, 0.0289, 0.4260, 0.3590, -0.3250, 0.1156, 0.7781, 0.0025, 31.0625, -14.5000, -46.1148, 55.3750, -7.2312, 0.4050, 13.3500, 0.6234, 1.5000, -0.6426, 1.8564, 0.5636},
};

// Precipitable water from the dew point, cm (Wright, Perez & Michalsky 1989); 10 °C where nothing was recorded.
double water_of(double dew_point) { return std::exp(0.07 * (std::isfinite(dew_point) ? dew_point : 10.0) - 0.075); }

constexpr double solar_constant = 1367;  // W/m², of the years of these fits
double extraterrestrial(double day_of_year) { return solar_constant * (1 + 0.033 * std::cos(2 * pi * day_of_year / 365)); }

/// The climate's hour that an instant falls into.
struct Slot {
  const ClimateHour* hour = nullptr;
  double jd_from = 0;      ///< where it starts, UT
  double day_of_year = 0;
  std::string text;        ///< "21 June, 20 to 21 h"
};

Slot slot_of(double jd_ut, const Climate& climate) {
  constexpr double jd_of_1970 = 2440587.5;
  // a hair later, so that an hour on the dot, written in a double, is not the hour before
  const double local = (jd_ut - jd_of_1970) + climate.zone_hours / 24 + 1e-8;
  const auto day = date::sys_days(date::days(static_cast<int>(std::floor(local))));
  const date::year_month_day ymd(day);
  const int hour = std::clamp(static_cast<int>(std::floor((local - std::floor(local)) * 24)), 0, 23);
  static const char* const months[] = {"January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November", "December"};
  const int month = static_cast<int>(static_cast<unsigned>(ymd.month())), date_of_month = static_cast<int>(static_cast<unsigned>(ymd.day()));
  Slot s;
  s.hour = &climate.at(month, date_of_month, hour);
  s.jd_from = jd_of_1970 + std::floor(local) - climate.zone_hours / 24 + hour / 24.0;
  s.day_of_year = static_cast<double>((day - date::sys_days(ymd.year() / 1 / 1)).count() + 1);
  s.text = fmt::format("{} {}, {} to {} h", date_of_month, months[month - 1], hour, hour + 1);
  return s;
}

/// The hour's sunlit part: its share and the sun in its middle.
struct Sunlit { double share = 0; SunPosition sun; };
Sunlit sunlit_part(const SiteSpec& site, const Slot& slot) {
  constexpr int parts = 8;
  const double latitude = *site.latitude_deg * rad_per_deg, longitude = *site.longitude_deg * rad_per_deg;
  int up = 0;
  double sum = 0;
  for (int i = 0; i < parts; ++i) {
    const double jd = slot.jd_from + (i + 0.5) / parts / 24;
    if (sun_position(jd, latitude, longitude).altitude <= 0) continue;
    ++up;
    sum += jd;
  }
  Sunlit s;
  s.share = static_cast<double>(up) / parts;
  if (up > 0) s.sun = sun_position(sum / up, latitude, longitude);
  return s;
}

// The sun so low that an hour's mean says little, and neither formula holds.
constexpr double least_altitude = 1 * rad_per_deg;

/// An hour as turbidity and as a multiple of the clear sky's total; turbidity 0: no sun.
struct Weather { double turbidity = 0, diffuse_over_clear = 0; SkyClearness clearness; };

std::optional<Weather> weather_of(const Slot& slot, const Sunlit& lit) {
  if (!slot.hour->has_sun() || lit.share <= 0 || lit.sun.altitude < least_altitude) return std::nullopt;
  const double direct = slot.hour->direct_normal / lit.share, diffuse = slot.hour->diffuse / lit.share;
  if (diffuse <= 0) return std::nullopt;
  const double zenith = pi / 2 - lit.sun.apparent_altitude;
  Weather w;
  w.clearness = sky_clearness(direct, diffuse, zenith, extraterrestrial(slot.day_of_year));
  const double direct_lux = direct * std::max(0.0, direct_efficacy(w.clearness, zenith, slot.hour->dew_point));
  const double diffuse_lux = diffuse * std::max(0.0, diffuse_efficacy(w.clearness, zenith, slot.hour->dew_point));
  if (diffuse_lux <= 0) return std::nullopt;
  w.diffuse_over_clear = diffuse_lux / total_horizontal_illuminance(lit.sun.altitude);
  // under 20 W/m² the disc is no disc
  if (direct >= 20) {
    const double m = air_mass(lit.sun.apparent_altitude), outside = direct_normal_illuminance(lit.sun.apparent_altitude, 0);
    w.turbidity = std::clamp(std::log(outside / std::max(direct_lux, 1.0)) * (1 + 0.0045 * m) / (0.1 * m), 1.0, 60.0);
  }
  return w;
}

/// The distribution, or a type of the standard where the fit leaves its range (negative luminance, a pole at the horizon).
IsoType distribution_of(const SkyClearness& clearness, const SkyState& s, int& type) {
  const double zenith = std::clamp(pi / 2 - s.sun.apparent_altitude, 0.0, 89 * rad_per_deg);
  const AllWeather w = all_weather(clearness, zenith);
  const IsoType form = iso_form(w);
  type = 0;
  bool sound = w.b < -0.02 && 1 + w.c * std::exp(w.d * pi / 2) > 0.05;
  kernel::Outside o{};
  o.sun = s.indicatrix_sun;
  o.a = form.a, o.b = form.b, o.c = form.c, o.d = form.d, o.e = form.e;
  for (int up = 0; up <= 6 && sound; ++up)
    for (int round = 0; round < 24; ++round) {
      const double altitude = up * 15 * rad_per_deg, azimuth = round * 15 * rad_per_deg;
      const dvec3 towards(std::cos(altitude) * std::sin(azimuth), std::cos(altitude) * std::cos(azimuth), std::sin(altitude));
      sound = sound && kernel::sky_relative(o, towards) > 0;
    }
  if (sound) return form;
  type = clearness.bin <= 2 ? overcast_type : clearness.bin <= 5 ? intermediate_type : clear_type;
  return iso_type(type);
}

int covered_type(const SiteSpec& site, double jd_ut, double cover) {
  if (!(cover >= 0)) return season_type(site, jd_ut);
  return cover < 0.3 ? clear_type : cover < 0.8 ? intermediate_type : overcast_type;
}

}  // namespace

SkyClearness sky_clearness(double direct_normal, double diffuse, double zenith, double extraterrestrial_normal) {
  SkyClearness s;
  const double cube = 1.041 * zenith * zenith * zenith;
  s.epsilon = ((diffuse + direct_normal) / diffuse + cube) / (1 + cube);
  s.delta = air_mass(pi / 2 - zenith) * diffuse / extraterrestrial_normal;
  while (s.bin < 8 && s.epsilon >= bin_limit[static_cast<std::size_t>(s.bin - 1)]) ++s.bin;
  return s;
}

double direct_efficacy(const SkyClearness& sky, double zenith, double dew_point) {
  const Efficacy& k = direct_terms[static_cast<std::size_t>(sky.bin - 1)];
  return k.a + k.b * water_of(dew_point) + k.c * std::exp(5.73 * zenith - 5) + k.d * sky.delta;
}

double diffuse_efficacy(const SkyClearness& sky, double zenith, double dew_point) {
  const Efficacy& k = diffuse_terms[static_cast<std::size_t>(sky.bin - 1)];
  return k.a + k.b * water_of(dew_point) + k.c * std::cos(zenith) + k.d * std::log(sky.delta);
}

AllWeather all_weather(const SkyClearness& sky, double zenith) {
  const double* x = distribution[sky.bin - 1];
  double delta = sky.delta;
  if (sky.bin >= 2 && sky.bin <= 5) delta = std::max(delta, 0.2);
  const auto plane = [&](int first) { return x[first] + x[first + 1] * zenith + delta * (x[first + 2] + x[first + 3] * zenith); };
  AllWeather w{plane(0), plane(4), plane(8), plane(12), plane(16)};
  if (sky.bin == 1) {
    w.c = std::exp(std::pow(delta * (x[8] + x[9] * zenith), x[10])) - x[11];
    w.d = -std::exp(delta * (x[12] + x[13] * zenith)) + x[14] + delta * x[15];
  }
  return w;
}

IsoType iso_form(const AllWeather& sky) {
  const double at_right_angle = 1 + sky.c * std::exp(sky.d * pi / 2);
  return {sky.a, sky.b, sky.c / at_right_angle, sky.d, sky.e / at_right_angle};
}

SkyState make_climate_sky(const SiteSpec& site, double jd_ut, const Climate& climate) {
  const Slot slot = slot_of(jd_ut, climate);
  const Sunlit lit = sunlit_part(site, slot);
  SkyState s = sky_with_sun(site, sun_position(jd_ut, *site.latitude_deg * rad_per_deg, *site.longitude_deg * rad_per_deg));
  const std::string from = "the climate of " + climate.place + ", " + slot.text;
  const auto weather = weather_of(slot, lit);
  if (s.sun.altitude < least_altitude || !weather) {
    s = make_sky(site, jd_ut, covered_type(site, jd_ut, slot.hour->cover));
    const std::string why = slot.hour->cover >= 0 ? fmt::format("{} tenths of the sky covered in {}", fixed_text(10 * slot.hour->cover, 0), from)
                                                 : "nothing usable in " + from + ": the sky is chosen by the season";
    s.note = s.note.empty() ? why : why + "; " + s.note;
    return s;
  }
  int type = 0;
  const IsoType distribution = distribution_of(weather->clearness, s, type);
  s.iso_type = type;
  const double direct = weather->turbidity > 0 ? direct_normal_illuminance(s.sun.apparent_altitude, weather->turbidity) : 0;
  const double diffuse = weather->diffuse_over_clear * total_horizontal_illuminance(s.sun.altitude);
  set_light(s, site, direct, diffuse + direct * std::sin(s.sun.apparent_altitude), distribution);
  s.note = fmt::format("{}: direct {}, diffuse {} W/m²", from, fixed_text(slot.hour->direct_normal, 0), fixed_text(slot.hour->diffuse, 0));
  return s;
}

const ClimateHour& climate_hour(double jd_ut, const Climate& climate) { return *slot_of(jd_ut, climate).hour; }

double sunshine_share(const SiteSpec& site, double jd_ut, const Climate& climate) {
  const Slot slot = slot_of(jd_ut, climate);
  const Sunlit lit = sunlit_part(site, slot);
  const auto weather = weather_of(slot, lit);
  if (!weather) return not_recorded;
  if (weather->turbidity <= 0) return 0;
  return std::min(1.0, direct_normal_illuminance(lit.sun.apparent_altitude, weather->turbidity) /
                           direct_normal_illuminance(lit.sun.apparent_altitude, *site.turbidity));
}

}  // namespace rakelight
