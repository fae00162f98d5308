#include "cost/drying.h"

#include <algorithm>
#include <cmath>

namespace rakelight {
namespace {

constexpr double fit_error = 0.12;               // the worst of the table
constexpr Range setting_hours{20.0 / 60, 210.0 / 60};
constexpr double between_coats = 24;             // h: AU practice for drying compounds (V2)

}  // namespace

double drying_hours(Air air) {
  const double saturated = 610.94 * std::exp(17.625 * air.celsius / (air.celsius + 243.04));
  return 22350 / (saturated * std::pow(1 - std::min(air.humidity, 0.9), 0.9));
}

Drying drying_of(const std::string& compound, double thickness, Air air) {
  const double hours = drying_hours(air), times = std::max(1.0, thickness / nominal_coat);
  Drying d;
  d.dry = {hours * (1 - fit_error) * times, hours * (1 + fit_error) * times * times};
  d.thick = times > 1;
  d.recoat = compound == "setting" ? setting_hours : Range{d.dry.low, std::max(d.dry.high, between_coats)};
  return d;
}

}  // namespace rakelight
