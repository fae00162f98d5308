// The sun's position after Reda & Andreas 2004 (NREL/TP-560-34302), every step of it, so that each can be held
// against the report's worked example.
#pragma once

namespace rakelight {

struct SpaInput {
  double jd_ut = 0;             ///< Julian date, UT
  double delta_t_s = 0;         ///< TT − UT, s
  double latitude_deg = 0, longitude_deg = 0;  ///< north, east
  double elevation_m = 0;
  double pressure_hpa = 1010, temperature_c = 10;
};

/// Names and units of the report: angles in degrees, R in astronomical units.
struct SpaSteps {
  double JDE, JC, JCE, JME;
  double L, B, R;               ///< heliocentric longitude, latitude, distance of the earth
  double Theta, beta;           ///< geocentric longitude, latitude of the sun
  double X[5];                  ///< arguments of nutation
  double delta_psi, delta_epsilon;
  double epsilon0_arcsec, epsilon;
  double delta_tau, lambda;     ///< aberration, apparent longitude
  double nu0, nu;               ///< sidereal time at Greenwich, mean and apparent
  double alpha, delta, H;       ///< geocentric right ascension, declination, local hour angle
  double xi, delta_alpha, alpha_prime, delta_prime, H_prime;  ///< topocentric
  double e0, delta_e, e;        ///< elevation without refraction, refraction, with refraction
  double Gamma, Phi;            ///< azimuth westwards from south, eastwards from north
};

/// The report claims ±0.0003° for the years −2000 to 6000. Refraction is added while any of the disc can be
/// seen (e0 ≥ −0.8333°), as in the report.
SpaSteps spa(const SpaInput& in);

}  // namespace rakelight
