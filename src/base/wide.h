// Arithmetic on four numbers at a time, element by element: the same results on any processor.
#pragma once
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
inline constexpr int four = 4;

/// Not functions by value: how they would pass fours differs between the two.
#define RAKELIGHT_ALWAYS_INLINE inline __attribute__((always_inline))
RAKELIGHT_ALWAYS_INLINE void load(Four& to, const double* from) { std::memcpy(&to, from, sizeof(Four)); }
RAKELIGHT_ALWAYS_INLINE void store(double* to, const Four& from) { std::memcpy(to, &from, sizeof(Four)); }

}  // namespace rakelight
