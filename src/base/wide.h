// Arithmetic on four numbers at a time, element by element: the same results on any processor.
#pragma once
#include <cmath>
#include <cstring>

namespace rakelight {

/// Stands before functions that are compiled twice, once for processors that do four operations in one (AVX2); which is called is found
/// out when the program starts. Not under sanitisers, which are not up yet by then.
#if defined(__x86_64__) && defined(__linux__) && defined(__GNUC__) && !defined(__clang__) && !defined(__SANITIZE_ADDRESS__) && !defined(__SANITIZE_THREAD__)
#define RAKELIGHT_WIDE __attribute__((target_clones("avx2", "default")))
#else
#define RAKELIGHT_WIDE
#endif

using Four = double __attribute__((vector_size(32)));
using EightFloats = float __attribute__((vector_size(32)));
inline constexpr int four = 4;

/// Not functions by value: how they would pass fours differs between the two.
#define RAKELIGHT_ALWAYS_INLINE inline __attribute__((always_inline))
RAKELIGHT_ALWAYS_INLINE void load(Four& to, const double* from) { std::memcpy(&to, from, sizeof(Four)); }
RAKELIGHT_ALWAYS_INLINE void store(double* to, const Four& from) { std::memcpy(to, &from, sizeof(Four)); }
RAKELIGHT_ALWAYS_INLINE void load(EightFloats& to, const float* from) { std::memcpy(&to, from, sizeof(EightFloats)); }
/// The first four and the last four, added to what is there.
RAKELIGHT_ALWAYS_INLINE void add_halves(Four& first, Four& last, const EightFloats& from) {
  first += __builtin_convertvector(__builtin_shufflevector(from, from, 0, 1, 2, 3), Four);
  last += __builtin_convertvector(__builtin_shufflevector(from, from, 4, 5, 6, 7), Four);
}
RAKELIGHT_ALWAYS_INLINE void square_root(Four& to, const Four& from) {
  double numbers[four];
  store(numbers, from);
  for (double& n : numbers) n = std::sqrt(n);
  load(to, numbers);
}
RAKELIGHT_ALWAYS_INLINE double sum_of(const Four& all) { return (all[0] + all[1]) + (all[2] + all[3]); }

}  // namespace rakelight
