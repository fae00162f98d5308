#include "room/say.h"

#include <cmath>

#include "base/inches.h"
#include "base/text.h"
#include "base/units.h"

namespace rakelight {
namespace {
std::string figure(Units units, double metres) {
  const double mm = metres * mm_per_m;
  return number_text(units == Units::inch ? std::round(mm / mm_per_inch * 100) / 100 : std::round(mm * 10) / 10);
}
}  // namespace

std::string length_text(Units units, double metres) {
  return units == Units::inch ? feet_text(metres) : figure(units, metres) + " mm";
}

std::string point_text(Units units, dvec2 metres) {
  return "[" + figure(units, metres.x) + ", " + figure(units, metres.y) + "]";
}

}  // namespace rakelight
