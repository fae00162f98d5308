// Where the sun stands, after Reda & Andreas 2004 (NREL/TP-560-34302); section numbers are the report's.
#include <algorithm>
#include <cmath>
#include <span>

#include "base/units.h"
#include "sky/periodic_terms.h"
#include "sky/sky.h"
#include "sky/spa.h"

namespace rakelight {
namespace {

double sin_deg(double x) { return std::sin(x * rad_per_deg); }
double cos_deg(double x) { return std::cos(x * rad_per_deg); }
double turn(double degrees) {
  double t = std::fmod(degrees, 360.0);
  return t < 0 ? t + 360 : t;
}

double polynomial(double x, std::initializer_list<double> c) {
  double sum = 0;
  for (auto it = std::rbegin(c); it != std::rend(c); ++it) sum = sum * x + *it;
  return sum;
}

// 3.2: one sum of cosines per power of tau
double series(std::span<const std::span<const PeriodicTerm>> powers, double tau) {
  double sum = 0, power = 1;
  for (std::span<const PeriodicTerm> terms : powers) {
    double s = 0;
    for (const PeriodicTerm& t : terms) s += t.a * std::cos(t.b + t.c * tau);
    sum += s * power;
    power *= tau;
  }
  return sum * 1e-8;
}

// 3.4
void nutation(SpaSteps& s) {
  double t = s.JCE;
  s.X[0] = polynomial(t, {297.85036, 445267.111480, -0.0019142, 1 / 189474.0});
  s.X[1] = polynomial(t, {357.52772, 35999.050340, -0.0001603, -1 / 300000.0});
  s.X[2] = polynomial(t, {134.96298, 477198.867398, 0.0086972, 1 / 56250.0});
  s.X[3] = polynomial(t, {93.27191, 483202.017538, -0.0036825, 1 / 327270.0});
  s.X[4] = polynomial(t, {125.04452, -1934.136261, 0.0020708, 1 / 450000.0});
  double psi = 0, epsilon = 0;
  for (const NutationTerm& n : nutation_terms) {
    double argument = 0;
    for (int i = 0; i < 5; ++i) argument += n.of[i] * s.X[i];
    psi += (n.psi + n.psi_rate * t) * sin_deg(argument);
    epsilon += (n.eps + n.eps_rate * t) * cos_deg(argument);
  }
  s.delta_psi = psi / 36e6;
  s.delta_epsilon = epsilon / 36e6;
}

// TT − UT, s: a straight line within 5 s of what was observed from 1950 to 2025. One second moves the sun by
// 0.00001°.
double delta_t(double jd_ut) { return 29.0 + 0.6 * (jd_ut - 2433282.5) / 365.25; }

}  // namespace

double julian_date(int year, int month, int day, int hour, int minute, double second) {
  // 3.1.1, with the Gregorian calendar throughout
  if (month < 3) {
    --year;
    month += 12;
  }
  double century = std::floor(year / 100.0);
  double days = std::floor(365.25 * (year + 4716)) + std::floor(30.6001 * (month + 1)) + day;
  return days + 2 - century + std::floor(century / 4) - 1524.5 + (hour + (minute + second / 60) / 60) / 24;
}

SpaSteps spa(const SpaInput& in) {
  SpaSteps s{};
  s.JDE = in.jd_ut + in.delta_t_s / 86400;
  s.JC = (in.jd_ut - 2451545) / 36525;
  s.JCE = (s.JDE - 2451545) / 36525;
  s.JME = s.JCE / 10;

  s.L = turn(series(longitude_series, s.JME) * deg_per_rad);
  s.B = series(latitude_series, s.JME) * deg_per_rad;
  s.R = series(distance_series, s.JME);
  s.Theta = turn(s.L + 180);
  s.beta = -s.B;

  nutation(s);
  s.epsilon0_arcsec = polynomial(s.JME / 10, {84381.448, -4680.93, -1.55, 1999.25, -51.38, -249.67, -39.05, 7.12, 27.87, 5.79, 2.45});
  s.epsilon = s.epsilon0_arcsec / 3600 + s.delta_epsilon;
  s.delta_tau = -20.4898 / (3600 * s.R);
  s.lambda = s.Theta + s.delta_psi + s.delta_tau;

  s.nu0 = turn(280.46061837 + 360.98564736629 * (in.jd_ut - 2451545) + s.JC * s.JC * (0.000387933 - s.JC / 38710000));
  s.nu = s.nu0 + s.delta_psi * cos_deg(s.epsilon);
  s.alpha = turn(deg_per_rad * std::atan2(sin_deg(s.lambda) * cos_deg(s.epsilon) - std::tan(s.beta * rad_per_deg) * sin_deg(s.epsilon),
                                          cos_deg(s.lambda)));
  s.delta = deg_per_rad * std::asin(sin_deg(s.beta) * cos_deg(s.epsilon) + cos_deg(s.beta) * sin_deg(s.epsilon) * sin_deg(s.lambda));
  s.H = turn(s.nu + in.longitude_deg - s.alpha);

  // 3.12: parallax, from the observer's place on the flattened earth
  s.xi = 8.794 / (3600 * s.R);
  double u = std::atan(0.99664719 * std::tan(in.latitude_deg * rad_per_deg));
  double x = std::cos(u) + in.elevation_m / 6378140 * cos_deg(in.latitude_deg);
  double y = 0.99664719 * std::sin(u) + in.elevation_m / 6378140 * sin_deg(in.latitude_deg);
  double towards = cos_deg(s.delta) - x * sin_deg(s.xi) * cos_deg(s.H);
  s.delta_alpha = deg_per_rad * std::atan2(-x * sin_deg(s.xi) * sin_deg(s.H), towards);
  s.alpha_prime = s.alpha + s.delta_alpha;
  s.delta_prime = deg_per_rad * std::atan2((sin_deg(s.delta) - y * sin_deg(s.xi)) * cos_deg(s.delta_alpha), towards);
  s.H_prime = s.H - s.delta_alpha;

  double sine = sin_deg(in.latitude_deg) * sin_deg(s.delta_prime) +
                cos_deg(in.latitude_deg) * cos_deg(s.delta_prime) * cos_deg(s.H_prime);
  s.e0 = deg_per_rad * std::asin(std::clamp(sine, -1.0, 1.0));
  if (s.e0 >= -(0.26667 + 0.5667))
    s.delta_e = in.pressure_hpa / 1010 * 283 / (273 + in.temperature_c) * 1.02 /
                (60 * std::tan((s.e0 + 10.3 / (s.e0 + 5.11)) * rad_per_deg));
  s.e = s.e0 + s.delta_e;
  s.Gamma = turn(deg_per_rad * std::atan2(sin_deg(s.H_prime), cos_deg(s.H_prime) * sin_deg(in.latitude_deg) -
                                                                  std::tan(s.delta_prime * rad_per_deg) * cos_deg(in.latitude_deg)));
  s.Phi = turn(s.Gamma + 180);
  return s;
}

SunPosition sun_position(double jd_ut, double latitude, double longitude_east, double elevation_m) {
  SpaSteps s = spa({.jd_ut = jd_ut,
                    .delta_t_s = delta_t(jd_ut),
                    .latitude_deg = latitude * deg_per_rad,
                    .longitude_deg = longitude_east * deg_per_rad,
                    .elevation_m = elevation_m});
  return {s.Phi * rad_per_deg, s.e0 * rad_per_deg, s.e * rad_per_deg};
}

}  // namespace rakelight
