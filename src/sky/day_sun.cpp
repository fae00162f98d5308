// The sun through one day, cheaply.
#include <algorithm>
#include <cmath>

#include "base/units.h"
#include "sky/sky.h"
#include "sky/spa.h"

namespace rakelight {
namespace {

// Through y at 0, 1/2 and 1.
double parabola(const double (&y)[3], double t) {
  return y[0] + t * (-3 * y[0] + 4 * y[1] - y[2] + 2 * t * (y[0] - 2 * y[1] + y[2]));
}

}  // namespace

double refraction(double altitude) {
  const double e0 = altitude * deg_per_rad;
  if (e0 < -(0.26667 + 0.5667)) return 0;
  return 1.02 / (60 * std::tan((e0 + 10.3 / (e0 + 5.11)) * rad_per_deg)) * rad_per_deg;
}

DaySun::DaySun(double jd_ut, double latitude, double longitude_east) : from_(jd_ut), latitude_(latitude) {
  for (int i = 0; i < 3; ++i) {
    const double jd = jd_ut + 0.5 * i;
    const SpaSteps s = spa({.jd_ut = jd, .delta_t_s = 29.0 + 0.6 * (jd - 2433282.5) / 365.25, .longitude_deg = longitude_east * deg_per_rad});
    declination_[i] = s.delta * rad_per_deg;
    hour_[i] = s.H * rad_per_deg;
    // half a turn later each time, within minutes
    if (i > 0) hour_[i] += 2 * pi * std::round((hour_[i - 1] + pi - hour_[i]) / (2 * pi));
  }
}

DaySun::Place DaySun::place(double jd_ut) const {
  const double t = jd_ut - from_;
  return {std::remainder(parabola(hour_, t), 2 * pi), parabola(declination_, t)};
}

SunPosition DaySun::position(double latitude, const Place& p) {
  const double sin_latitude = std::sin(latitude), cos_latitude = std::cos(latitude);
  const double sin_declination = std::sin(p.declination), cos_declination = std::cos(p.declination), cos_hour = std::cos(p.hour_angle);
  SunPosition sun;
  // north, west and up
  const double north = cos_latitude * sin_declination - sin_latitude * cos_declination * cos_hour;
  const double west = cos_declination * std::sin(p.hour_angle);
  const double up = sin_latitude * sin_declination + cos_latitude * cos_declination * cos_hour;
  sun.azimuth = std::atan2(-west, north);
  if (sun.azimuth < 0) sun.azimuth += 2 * pi;
  constexpr double parallax = 8.794 / 3600 * rad_per_deg;
  sun.altitude = std::asin(std::clamp(up, -1.0, 1.0));
  sun.altitude -= parallax * std::cos(sun.altitude);
  sun.apparent_altitude = sun.altitude + refraction(sun.altitude);
  return sun;
}

}  // namespace rakelight
