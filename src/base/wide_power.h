// Powers of four numbers at a time.
#pragma once
#include "base/wide.h"

namespace rakelight {

/// x^exponent of each, 1e-300 < x < 1e300, within 1e-13 of itself where the exponent is at most 10 and the result is no smaller than
/// 1e-300. By the logarithm's series in (m - 1) / (m + 1) and the exponential's (Abramowitz & Stegun 4.1.27, 4.2.1), both of arguments
/// near 0.
RAKELIGHT_ALWAYS_INLINE void power_of(Four& to, const Four& x, double exponent) {
  using Bits = unsigned long long __attribute__((vector_size(32)));
  constexpr double two_52 = 4503599627370496.0, ln2_high = 0.693147180369123816490, ln2_low = 1.90821492927058770002e-10, per_ln2 = 1.44269504088896340736;
  const Bits bits = reinterpret_cast<Bits>(x), mantissa = (bits & 0xfffffffffffffull) | 0x3ff0000000000000ull, biased = (bits >> 52) | 0x4330000000000000ull;
  const Four whole = reinterpret_cast<Four>(mantissa);  // 1 … 2
  const auto upper = whole > 1.41421356237309504880;
  const Four m = upper ? 0.5 * whole : whole, octaves = reinterpret_cast<Four>(biased) - (two_52 + 1023), e = upper ? octaves + 1.0 : octaves;
  const Four t = (m - 1.0) / (m + 1.0), t2 = t * t;
  const Four series = 1 + t2 * (1.0 / 3 + t2 * (1.0 / 5 + t2 * (1.0 / 7 + t2 * (1.0 / 9 + t2 * (1.0 / 11 + t2 * (1.0 / 13 + t2 * (1.0 / 15 + t2 * (1.0 / 17))))))));
  const Four z = exponent * (e * ln2_high + (e * ln2_low + 2.0 * t * series));
  // the nearest whole number, found by what the addition rounds away
  const Four shifted = z * per_ln2 + 1.5 * two_52, n = shifted - 1.5 * two_52, r = z - n * ln2_high - n * ln2_low;
  const Four rest = 1 + r * (1 + r * (1.0 / 2 + r * (1.0 / 6 + r * (1.0 / 24 + r * (1.0 / 120 + r * (1.0 / 720 + r * (1.0 / 5040 + r * (1.0 / 40320 + r * (1.0 / 362880 + r * (1.0 / 3628800 + r * (1.0 / 39916800 + r * (1.0 / 479001600))))))))))));
  const Bits scale = (reinterpret_cast<Bits>(shifted) + 1023ull) << 52;
  to = rest * reinterpret_cast<Four>(scale);
}

}  // namespace rakelight
