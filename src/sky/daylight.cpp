// How much light there is outside: published fits, none of our own.
#include <algorithm>
#include <cmath>

#include "base/units.h"
#include "sky/sky.h"

namespace rakelight {

double total_horizontal_illuminance(double sun_altitude) {
  struct Segment { double from_deg, l0, l1, l2, l3; };
  static constexpr Segment segments[] = {
      {20, 3.74, 3.97, -4.07, 1.47},        {5, 3.05, 13.28, -45.98, 64.33},
      {-0.8, 2.88, 22.26, -207.64, 1034.30}, {-5, 2.88, 21.81, -258.11, -858.36},
      {-12, 2.70, 12.17, -431.69, -1899.83}, {-18, 13.84, 262.72, 1447.42, 2797.93},
  };
  double altitude_deg = sun_altitude * deg_per_rad;
  for (const Segment& s : segments)
    // a boundary belongs to the segment above it; the slack keeps it there after a conversion from degrees
    if (altitude_deg >= s.from_deg - 1e-9) {
      double x = altitude_deg / 90;
      return std::pow(10.0, s.l0 + x * (s.l1 + x * (s.l2 + x * s.l3)));
    }
  return 0;
}

double air_mass(double apparent_altitude) {
  double altitude_deg = apparent_altitude * deg_per_rad;
  return 1 / (std::sin(apparent_altitude) + 0.50572 * std::pow(altitude_deg + 6.07995, -1.6364));
}

double direct_normal_illuminance(double apparent_altitude, double turbidity) {
  double m = air_mass(apparent_altitude);
  return 133800 * std::exp(-0.1 / (1 + 0.0045 * m) * m * turbidity);
}

double overcast_horizontal_illuminance(double sun_altitude) {
  constexpr double at_horizon = 300, rise = 21000;
  if (sun_altitude >= 0) return at_horizon + rise * std::sin(sun_altitude);
  return at_horizon * total_horizontal_illuminance(sun_altitude) / total_horizontal_illuminance(0);
}

}  // namespace rakelight
