// Angles of four numbers at a time.
#pragma once
#include "base/wide.h"

namespace rakelight {

/// atan2(up, over) of each: 0 … pi for up >= 0; within 4e-16 of itself, up to roundings. Where both are 0: anything. The fraction
/// is Moshier's (1989, Methods and Programs for Mathematical Functions), for |x| <= 0.66; beyond, the angle is turned by pi/4 or pi/2.
RAKELIGHT_ALWAYS_INLINE void angle_of(Four& angle, const Four& up, const Four& over) {
  constexpr double quarter = 0.78539816339744830962, half = 1.57079632679489661923, whole = 3.14159265358979323846, rest_of_half = 6.123233995736765886e-17;
  const Four zero{}, aside = over < zero ? -over : over;
  const auto steep = up > 2.41421356237309504880 * aside, slanted = up > 0.66 * aside;
  const Four over_first = slanted ? up + aside : aside, up_first = slanted ? up - aside : up;
  const Four x = (steep ? -aside : up_first) / (steep ? up : over_first), z = x * x;
  const Four top = z * ((((-8.750608600031904122785e-1 * z - 1.615753718733365076637e1) * z - 7.500855792314704667340e1) * z - 1.228866684490136173410e2) * z -
                        6.485021904942025371773e1);
  const Four bottom = ((((z + 2.485846490142306297962e1) * z + 1.650270098316988542046e2) * z + 4.328810604912902668951e2) * z + 4.853903996359136964868e2) * z +
                      1.945506571482613964425e2;
  const Four slanted_turn = slanted ? zero + quarter : zero, slanted_rest = slanted ? zero + 0.5 * rest_of_half : zero;
  const Four first = (steep ? zero + half : slanted_turn) + (x * (top / bottom) + x + (steep ? zero + rest_of_half : slanted_rest));
  angle = over < zero ? whole - first : first;
}

}  // namespace rakelight
