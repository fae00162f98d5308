// Time, sun and sky of a moment.
#pragma once
#include <optional>
#include <string>
#include <vector>

#include "base/diagnostics.h"
#include "base/vec.h"
#include "job/job.h"
#include "kernel/sky.h"

namespace rakelight {

/// Julian date (UT) of a civil UTC time, Gregorian calendar (Meeus 1998, ch. 7).
double julian_date(int year, int month, int day, int hour, int minute, double second);

struct SunPosition {
  double azimuth = 0;            ///< rad clockwise from true north
  double altitude = 0;           ///< true (airless), of the centre, topocentric, rad
  double apparent_altitude = 0;  ///< with refraction (1010 hPa, 10 °C)
};
/// Reda & Andreas 2004 (NREL/TP-560-34302) with topocentric parallax: within 0.0005° of it for 1950–2050. Angles in
/// rad, elevation of the site above the sea in m. jd_ut: UT1 taken as UTC (they differ by under 0.9 s, 0.004°).
SunPosition sun_position(double jd_ut, double latitude, double longitude_east, double elevation_m = 0);

/// Refraction at a true altitude, rad: the report's formula at 1010 hPa and 10 °C, while any of the disc can be seen
/// (altitude from −0.8333°), else 0.
double refraction(double altitude);

/// The sun through one day, to 0.0002° of sun_position (tests/unit/sky/day_sun.cpp) at a hundredth of its cost: hour angle
/// and declination are parabolas through three of its values.
class DaySun {
 public:
  struct Place { double hour_angle = 0, declination = 0; };  ///< rad; westwards from the meridian, in (−pi, pi]; geocentric
  /// Holds from jd_ut to a day later.
  DaySun(double jd_ut, double latitude, double longitude_east);
  Place place(double jd_ut) const;
  SunPosition position(double jd_ut) const { return position(latitude_, place(jd_ut)); }
  static SunPosition position(double latitude, const Place& place);

 private:
  double from_, latitude_;
  double hour_[3], declination_[3];
};

/// Total horizontal illuminance, lx, sun and clear sky; true altitude −18°…90° in rad; 0 below. Janiczek & DeYoung
/// 1987, USNO Circular 171: six cubics in log10 E, whose joints jump by up to 1 %.
double total_horizontal_illuminance(double sun_altitude);
/// Kasten & Young 1989, relative optical air mass; apparent altitude in rad, from −1° up.
double air_mass(double apparent_altitude);
/// Direct normal illuminance, lx: E0 exp(−a_v m T), a_v = 0.1 / (1 + 0.0045 m) (Clear 1982, Navvab et al. 1984),
/// E0 = 133 800 lx, m at the apparent altitude (rad). Turbidity T: luminous, 1 = clean dry air, clear 2.5, hazy 5.
double direct_normal_illuminance(double apparent_altitude, double turbidity);
/// Horizontal illuminance, lx, under a covered sky: 300 + 21 000 sin h (Krochmann 1963; coefficients from memory).
/// Below the horizon no formula is published: 300 lx falls with the clear twilight, E = 300 E_clear(h) / E_clear(0).
double overcast_horizontal_illuminance(double sun_altitude);

/// What stands round the house at any time.
struct Outskirts {
  double skyline = 0;            ///< altitude all round, rad; of the highest point where there are points
  std::vector<dvec2> skyline_points;  ///< azimuth from plan +x towards +y, ascending over a whole turn (the last is the first again, 2π on), altitude; rad; empty: even
  double ground_below = 0;       ///< the ground outside under the room's floor, m
  double house_height = 0;       ///< of what throws the house's shadow, over the ground, m; 0: it throws none
  /// Altitude towards an azimuth, rad; straight between points.
  double skyline_at(double azimuth) const;
};
Outskirts outskirts(const SiteSpec& site);
/// Share of the sun's disc that stands over the skyline, by 32 upright slices where it has points; direction in plan axes.
double sun_over_skyline(const Outskirts& outskirts, dvec3 sun_direction);

/// Everything outside the glass at one moment. Plain numbers; shaders/kernels/sky.glsl turns a direction into a
/// luminance from exactly these.
struct SkyState : Outskirts {
  bool dark = true;              ///< sky = none, or the sun under −18°: nothing comes from outside
  bool sun_up = false;           ///< some of the disc is above the horizon and the sky lets it through
  SunPosition sun;
  dvec3 sun_direction{0, 0, 1};  ///< to the sun (apparent), plan axes
  double direct_normal = 0;      ///< lx; 0 unless sun_up
  double direct_horizontal = 0;  ///< lx from the disc, part of which may be below the horizon
  double diffuse_horizontal = 0; ///< lx from the sky, unobstructed
  int iso_type = 5;              ///< 0: none of them (a climate's hour)
  double a = 0, b = -1, c = 0, d = -1, e = 0;  ///< ISO 15469 gradation and indicatrix
  double zenith_luminance = 0;   ///< cd/m²
  dvec3 indicatrix_sun{0, 0, 1}; ///< sun direction used in f(χ) (on the horizon when the sun is below it)
  double skyline_luminance = 0;  ///< cd/m² of what hides the sky below the skyline
  double ground_luminance = 0;   ///< cd/m²
  double shaded_ground_luminance = 0;  ///< cd/m², where the house keeps the sun off
  std::string note;              ///< what was assumed, for people ("sun 3° below the horizon: indicatrix taken at the horizon")
};

/// ISO 15469:2004 (CIE S 011/E:2003), table 1. type: 1..15.
struct IsoType { double a, b, c, d, e; };
IsoType iso_type(int type);

/// What the names stand for. "Intermediate" is the partly cloudy sky without gradation and with a bright region round the sun;
/// of the fifteen its ratio of luminance at the sun to that at the zenith is nearest to the older intermediate sky of
/// Matsuura & Iwata 1990 (3.5 against 3.6 with the sun at 45°; that formula from memory).
inline constexpr int clear_type = 12, overcast_type = 1, intermediate_type = 7;
/// "clear", "overcast", "intermediate", or "ISO 15469 type 4".
std::string type_text(int type);

/// The sky taken for a date when nothing is known of the weather: by the sun's declination, counted positive towards the
/// site's pole: from half of the obliquity (11.7°) up clear, down to minus that intermediate, below overcast; between the
/// tropics clear all year. A convention, no climate.
int season_type(const SiteSpec& site, double jd_ut);

/// The sky over a site when the sun stands at jd_ut; type as in ISO 15469, 1..15. What is published ends at the
/// distribution; the levels are:
/// - 11–15 (cloudless; "clear" is 12): the sun shines, its direct normal from the site's turbidity; sun and sky
///   together give total_horizontal_illuminance. The sky keeps at least a tenth of that total; where the turbidity
///   would leave it less (cleaner than about 2), the sun is dimmed to fit.
/// - 1–5 (covered; "overcast" is 1): overcast_horizontal_illuminance, no sun.
/// - 6–10 (partly cloudy, the disc veiled; "intermediate" is 7): the geometric mean of those two levels, all of it from the sky, no sun.
///   An engineering choice: real ones lie anywhere between.
/// Ground in the house's shadow loses the sun and no sky. The skyline is a dull upright face that sees half of the horizontal illuminance: L = ρ E_h / 2π. The ground:
/// L = ρ E_h / π. Needs the site's latitude and longitude.
SkyState make_sky(const SiteSpec& site, double jd_ut, int type);

/// The same with the sun standing anywhere.
SkyState make_sky(const SiteSpec& site, const SunPosition& sun, int type);
/// To the sun (apparent), plan axes.
dvec3 sun_direction(const SiteSpec& site, const SunPosition& sun);
/// Its levels alone, lx.
struct SkyLevel { double direct_normal = 0, direct_horizontal = 0, total = 0; };
SkyLevel sky_level(const SiteSpec& site, const SunPosition& sun, int type);
/// The parts of it, for other sources of level and distribution: sun, its directions in plan axes, skyline altitude.
SkyState sky_with_sun(const SiteSpec& site, const SunPosition& sun);
/// Sun (direct_normal at most; dimmed so that the sky keeps a tenth of `total`) and total horizontal illuminance, lx, with a
/// distribution; skyline and ground after them.
void set_light(SkyState& sky, const SiteSpec& site, double direct_normal, double total, const IsoType& distribution);

/// The numbers of the kernel for that sky.
kernel::Outside outside_of(const SkyState& sky);

/// Horizontal illuminance, lx, that an unobstructed sky of this distribution gives per cd/m² at its zenith
/// (sr); π for type 5. Gauss–Legendre, within 1e-6 of itself.
double horizontal_per_zenith(const SkyState& sky);

/// A hand lamp (index into Job::lamps) at one moment: plan x, y, height, m, and its direction.
struct HeldLamp { int lamp = 0; dvec3 position{0}, aim{0, 0, -1}; };

/// The job's moment with its sky resolved. Diagnostics: a local time that daylight saving skips or doubles
/// without an offset, an unknown zone, a moment with a sky but without a time or a site.
struct Moment {
  std::string name;
  double jd_ut = 0;              ///< Julian date, UT; 0 without a time
  std::string at_text;           ///< local time with offset for people and JSON; "" for lamps only
  SkyState sky;
  std::string sky_text;          ///< "clear", "overcast", "intermediate", "ISO 15469 type 4", "auto: overcast", "none"
  std::vector<double> lamp_on;   ///< per Job::lamps: share of what the lamp is set to, 0 = off
  std::vector<HeldLamp> held;    ///< hand lamps that are held elsewhere than their [[lamp]] says
};
struct Climate;
/// `climate`: the file that the site names, for sky = auto; null: the season decides.
std::optional<Moment> make_moment(const Job& job, const MomentSpec& spec, Diagnostics& diagnostics, const Climate* climate = nullptr);
/// The same sky by its name and the same lamps at another instant (whole seconds); the text of the time is on the site's clocks.
std::optional<Moment> moment_like(const Job& job, const MomentSpec& like, double jd_ut, Diagnostics& diagnostics, const Climate* climate = nullptr);
std::vector<Moment> make_moments(const Job& job, Diagnostics& diagnostics, const Climate* climate = nullptr);
/// A moment at a time not in the job ("2026-06-21T20:40"), clear sky, lamps off; for --moment.
std::optional<Moment> moment_at(const Job& job, const std::string& local_time, Diagnostics& diagnostics);

/// Sky luminance, cd/m², from a direction (plan axes, z up) above the horizon, no skyline.
double sky_luminance(const SkyState& sky, dvec3 direction);

}  // namespace rakelight
