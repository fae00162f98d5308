// Lengths, areas, volumes and weights in the units that the job's file is in.
#pragma once
#include <string>

#include "cost/range.h"

namespace rakelight {

/// Text for people: millimetres, m², litres, kilograms, °C; or feet and inches, ft², US gallons, pounds, °F.
struct Measures {
  bool inches = false;
  std::string length(double metres) const;             ///< "2,650 mm", "8' 8-5/16\""
  std::string fine(double metres) const;               ///< heights of joints: "1.4 mm", "0.055 in"
  std::string metres(double metres, int decimals = 1) const;  ///< runs of joint: "17.7 m", "58 ft"
  std::string area(double square_metres) const;
  std::string temperature(double celsius) const;
  /// An amount of a unit of quantities ("L", "kg", "m", else as it is), low to high.
  std::string amount(Range range, const std::string& unit) const;
};

/// "0.3–0.6", "12–19", "1,200–1,900"; one number where both read alike.
std::string range_text(Range range);

}  // namespace rakelight
