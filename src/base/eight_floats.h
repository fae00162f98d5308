// Arithmetic on eight floats at a time, element by element: the same results on any processor. In functions that stand behind
// RAKELIGHT_WIDE (base/wide.h); by reference, as fours are.
#pragma once
#include <cstdint>
#include <cstring>

#include "base/wide.h"

namespace rakelight {

using EightInts = std::int32_t __attribute__((vector_size(32)));

RAKELIGHT_ALWAYS_INLINE void store(float* to, const EightFloats& from) { std::memcpy(to, &from, sizeof(EightFloats)); }

/// ln x of positive normal numbers, within 2e-7 of itself or of 1: x = 2ⁿ m, m about 1, and ln m = 2 artanh((m − 1) / (m + 1)) to its ninth power.
RAKELIGHT_ALWAYS_INLINE void log_of(EightFloats& ln, const EightFloats& x) {
  EightInts bits;
  std::memcpy(&bits, &x, sizeof bits);
  constexpr std::int32_t root_half = 0x3f3504f3;
  const EightInts power = (bits - root_half) >> 23;
  bits -= power << 23;
  EightFloats m;
  std::memcpy(&m, &bits, sizeof m);
  const EightFloats s = (m - 1.0f) / (m + 1.0f), t = s * s;
  ln = 2.0f * s * (1.0f + t * (1 / 3.0f + t * (0.2f + t * (1 / 7.0f + t * (1 / 9.0f))))) + 0.69314718f * __builtin_convertvector(power, EightFloats);
}

/// eˣ within 3e-7 of itself for |x| ≤ 80; beyond as at ±80. eˣ = 2ⁿ eʳ, |r| ≤ ln 2 / 2, by Taylor's series to the seventh power.
RAKELIGHT_ALWAYS_INLINE void exp_of(EightFloats& e, const EightFloats& x) {
  const EightFloats zero{}, above = zero - 80.0f, below = zero + 80.0f;
  EightFloats at = x > below ? below : x;
  at = at < above ? above : at;
  constexpr float whole_numbers = 12582912.0f;  // 1.5 × 2²³: what is added to it loses its fraction
  const EightFloats n = (at * 1.44269504f + whole_numbers) - whole_numbers;
  const EightFloats r = (at - n * 0.693359375f) + n * 2.12194440e-4f;
  const EightInts bits = (__builtin_convertvector(n, EightInts) + 127) << 23;
  EightFloats power;
  std::memcpy(&power, &bits, sizeof power);
  e = power * (1.0f + r * (1.0f + r * (0.5f + r * (1 / 6.0f + r * (1 / 24.0f + r * (1 / 120.0f + r * (1 / 720.0f + r * (1 / 5040.0f))))))));
}

}  // namespace rakelight
