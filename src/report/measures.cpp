#include "report/measures.h"

#include <cmath>
#include <fmt/format.h>

#include "base/inches.h"
#include "base/text.h"
#include "base/units.h"

namespace rakelight {
namespace {

constexpr double ft_per_m = 1 / 0.3048, gal_per_l = 1 / 3.785411784, lb_per_kg = 1 / 0.45359237;

std::string thousands(std::string digits) {
  const std::size_t point = std::min(digits.find('.'), digits.size());
  for (std::size_t i = point; i > 3 && digits[i - 4] != '-';) digits.insert(i -= 3, ",");
  return digits;
}

/// Two significant digits or whole numbers.
std::string rounded_text(double value) { return thousands(fixed_text(value, value < 0.995 ? 2 : value < 9.95 ? 1 : 0)); }

}  // namespace

std::string Measures::length(double metres) const {
  return inches ? feet_text(metres) : thousands(fixed_text(metres * mm_per_m, 0)) + " mm";
}
std::string Measures::fine(double metres) const { return inches ? fixed_text(metres * mm_per_m / mm_per_inch, 3) + " in" : fixed_text(metres * mm_per_m, 1) + " mm"; }
std::string Measures::metres(double metres, int decimals) const {
  return inches ? thousands(fixed_text(metres * ft_per_m, 0)) + " ft" : thousands(fixed_text(metres, decimals)) + " m";
}
std::string Measures::area(double m2) const { return inches ? thousands(fixed_text(m2 * ft_per_m * ft_per_m, 0)) + " ft²" : thousands(fixed_text(m2, 1)) + " m²"; }
std::string Measures::temperature(double celsius) const { return inches ? fixed_text(celsius * 1.8 + 32, 0) + " °F" : fixed_text(celsius, 0) + " °C"; }

std::string Measures::amount(Range r, const std::string& unit) const {
  if (inches && unit == "L") return range_text(r * gal_per_l) + " US gal";
  if (inches && unit == "kg") return range_text(r * lb_per_kg) + " lb";
  if (inches && unit == "m") return range_text(r * ft_per_m) + " ft";
  if (unit == "pieces" || unit == "sheets") {
    const std::string low = thousands(fixed_text(r.low, 0)), high = thousands(fixed_text(r.high, 0));
    return (low == high ? low : low + "–" + high) + " " + unit;
  }
  return range_text(r) + " " + unit;
}

std::string range_text(Range r) {
  const std::string low = rounded_text(r.low), high = rounded_text(r.high);
  return low == high ? low : low + "–" + high;
}

}  // namespace rakelight
