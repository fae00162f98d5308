// How long a coat takes until the next one may go on, and until it is dry.
//
// Drying compound, one coat of 1.6 mm: t = 22350 / (p_sat (1 − RH)^0.9) hours, p_sat in Pa = 610.94 exp(17.625 T / (T + 243.04)),
// T in °C: a fit to the trade's table of drying times (docs/reference/trade.md 7.2; from 0 to 38 °C and 0 to 90 % within 12 %).
// Thicker fills: from in proportion to the thickness up to its square, which is a guess.
#pragma once
#include <string>

#include "cost/range.h"

namespace rakelight {

struct Air { double celsius = 18, humidity = 0.6; };    ///< relative humidity as a fraction, at most 0.9

inline constexpr double nominal_coat = 1.6e-3;          ///< m: what the table's hours hold for (1/16 in)

/// Hours for a coat of 1.6 mm of drying compound, by the fit.
double drying_hours(Air air);

/// Clock hours after a coat is laid.
struct Drying {
  Range recoat;                        ///< until the next coat may go on: set, or dry
  Range dry;                           ///< until it may be sanded over or painted: set is not dry
  bool thick = false;                  ///< over 1.6 mm: the upper end is a guess
};
/// compound: "setting" | "drying" | "lightweight"; thickness: wet, m. Setting compound may be recoated once it has set (classes of
/// 20 to 210 minutes, common practice) and dries like any other; drying compound is given 24 h between coats in one practice, which
/// the upper end keeps to.
Drying drying_of(const std::string& compound, double thickness, Air air);

}  // namespace rakelight
