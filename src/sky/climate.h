// A typical year's hourly weather, from the text of an EPW file, and the sky that it gives.
#pragma once
#include <array>
#include <limits>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "sky/sky.h"

namespace rakelight {

inline constexpr double not_recorded = std::numeric_limits<double>::quiet_NaN();

/// One hour of the file; NaN where it says that nothing was recorded. Irradiances are means over the hour.
struct ClimateHour {
  double direct_normal = not_recorded;   ///< W/m²
  double diffuse = not_recorded;         ///< on the horizontal, W/m²
  double dew_point = not_recorded;       ///< °C
  double cover = not_recorded;           ///< share of the sky covered, 0..1
  bool has_sun() const { return direct_normal >= 0 && diffuse >= 0; }
};

/// Hours by the calendar of a leap year, so that 29 February has its place; a file without it leaves it empty.
struct Climate {
  std::string place;
  double latitude_deg = 0, longitude_deg = 0;   ///< north, east
  double zone_hours = 0;                        ///< of its clock, ahead of UTC; no summer time
  std::vector<ClimateHour> hours = std::vector<ClimateHour>(366 * 24);
  int given = 0;                                ///< hours in the file

  /// The hour of a date on the file's clock: month 1..12, day 1..31, hour 0..23 (the file's own 1..24 less 1). 29 February
  /// is the 28th where the file has none.
  const ClimateHour& at(int month, int day, int hour) const;
};

/// Reads an EPW file (the public data dictionary of the format, from memory: eight heading lines, then a line per hour of 35
/// values separated by commas, of which month, day, hour 1..24, dew point, direct normal and diffuse horizontal
/// irradiance and sky cover are used; 9999 W/m², 99.9 °C and 99 tenths mean "missing"). Spans are places in `text`.
/// Empty when there was an error: no LOCATION line, more than one record an hour, values that are no numbers, dates out of
/// the calendar, or fewer than a day's hours.
std::optional<Climate> read_climate(std::string_view text, Diagnostics& diagnostics);

/// Perez et al. 1990 ("Modeling daylight availability", Solar Energy 44, eqs 1, 2, 7 and 8): clearness ε, brightness Δ and
/// luminous efficacies, lm/W. zenith: of the sun, rad; irradiances in W/m²; dew point °C. The coefficients are in part
/// from memory (climate.cpp says which).
struct SkyClearness { double epsilon = 1, delta = 0; int bin = 1; };  ///< bin 1 overcast … 8 clear
SkyClearness sky_clearness(double direct_normal, double diffuse, double zenith, double extraterrestrial);
double direct_efficacy(const SkyClearness& sky, double zenith, double dew_point);
double diffuse_efficacy(const SkyClearness& sky, double zenith, double dew_point);

/// Perez, Seals & Michalsky 1993 (Solar Energy 50), table 1: (1 + a exp(b/cos ζ)) (1 + c exp(d γ) + e cos² γ).
struct AllWeather { double a, b, c, d, e; };
AllWeather all_weather(const SkyClearness& sky, double zenith);
/// The same sky in the form of ISO 15469, whose indicatrix is 1 at a right angle to the sun: c and e are divided by
/// 1 + c exp(d π/2), which leaves every ratio of luminances as it was.
IsoType iso_form(const AllWeather& sky);

/// The sky over a site at jd_ut after the climate's record of that hour. The hour's means are taken as those of the middle
/// of its sunlit part, turned to turbidity (direct) and to a multiple of the clear sky's total (diffuse), and these hold
/// through the hour: in low sun an hour's mean is no figure for its ends. With the sun under the horizon, or nothing
/// recorded, cover decides between clear (under 3 tenths), intermediate and overcast (from 8 tenths); without cover the season
/// does (sky.h).
SkyState make_climate_sky(const SiteSpec& site, double jd_ut, const Climate& climate);

/// The hour into which an instant falls.
const ClimateHour& climate_hour(double jd_ut, const Climate& climate);

/// Share of the hour's sunshine that a cloudless sky of the site's haze would give, 0..1: how likely the sun is out.
/// NaN when the hour is not recorded or the sun is down.
double sunshine_share(const SiteSpec& site, double jd_ut, const Climate& climate);

}  // namespace rakelight
