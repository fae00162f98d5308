// Time, sun and sky of a moment.
#pragma once
#include <optional>
#include <string>
#include <vector>

#include "base/diagnostics.h"
#include "base/vec.h"
#include "job/job.h"

namespace rakelight {

/// Julian date (UT) of a civil UTC time, Gregorian calendar.
double julian_date(int year, int month, int day, int hour, int minute, double second);

struct SunPosition {
  double azimuth = 0;            ///< rad clockwise from true north
  double altitude = 0;           ///< true (airless), of the centre, topocentric, rad
  double apparent_altitude = 0;  ///< with refraction (1010 hPa, 10 °C)
};
/// Reda & Andreas 2004 (NREL/TP-560-34302) or ERFA-grade: within 0.01° for 1950–2050. jd_ut: UT1 ≈ UTC.
SunPosition sun_position(double jd_ut, double latitude, double longitude_east, double elevation_m = 0);

/// Janiczek & DeYoung 1987: total horizontal illuminance, lx, clear sky, sun altitude −18°…90°; 0 below.
double total_horizontal_illuminance(double sun_altitude);
/// Direct normal illuminance, lx: Navvab/Clear form with Kasten & Young 1989 air mass at the apparent altitude.
double direct_normal_illuminance(double apparent_altitude, double turbidity);
double air_mass(double apparent_altitude);

/// Everything outside the glass at one moment. Plain numbers; shaders/kernels/sky.glsl turns a direction into a
/// luminance from exactly these.
struct SkyState {
  bool dark = true;              ///< sky = none: nothing comes from outside
  bool sun_up = false;           ///< some of the disc is above the horizon and the sky lets it through
  SunPosition sun;
  dvec3 sun_direction{0, 0, 1};  ///< to the sun (apparent), plan axes
  double direct_normal = 0;      ///< lx
  double diffuse_horizontal = 0; ///< lx from the sky, unobstructed
  int iso_type = 5;
  double a = 0, b = -1, c = 0, d = -1, e = 0;  ///< ISO 15469 gradation and indicatrix
  double zenith_luminance = 0;   ///< cd/m²
  dvec3 indicatrix_sun{0, 0, 1}; ///< sun direction used in f(χ) (on the horizon when the sun is below it)
  double skyline = 0;            ///< altitude, rad
  double skyline_luminance = 0;  ///< cd/m² of what hides the sky below `skyline`
  double ground_luminance = 0;   ///< cd/m²
  std::string note;              ///< what was assumed, for people ("sun 3° below the horizon: indicatrix taken at the horizon")
};

/// The job's moment with its sky resolved. Diagnostics: a local time that daylight saving skips or doubles
/// without an offset, an unknown zone, a moment with a sky but without a time or a site.
struct Moment {
  std::string name;
  std::string at_text;           ///< local time with offset for people and JSON; "" for lamps only
  SkyState sky;
  std::string sky_text;          ///< "clear", "overcast", "ISO 15469 type 7", "none"
  std::vector<bool> lamp_on;     ///< per Job::lamps
};
std::optional<Moment> make_moment(const Job& job, const MomentSpec& spec, Diagnostics& diagnostics);
std::vector<Moment> make_moments(const Job& job, Diagnostics& diagnostics);
/// A moment at a time not in the job ("2026-06-21T20:40"), clear sky, lamps off; for --moment.
std::optional<Moment> moment_at(const Job& job, const std::string& local_time, Diagnostics& diagnostics);

/// Sky luminance, cd/m², from a direction (plan axes, z up) above the horizon, no skyline.
double sky_luminance(const SkyState& sky, dvec3 direction);

}  // namespace rakelight
