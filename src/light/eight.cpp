#include "light/eight.h"

#include <algorithm>

#include "base/wide.h"

namespace rakelight {
namespace {

// a vector of the compiler's: what it has no instruction for it parts itself
using Eight = float __attribute__((vector_size(32), aligned(4)));

inline __attribute__((always_inline)) void times(const float* row, const float* x, std::size_t count, double* sum) {
  constexpr std::size_t block = 64;
  Four first_four{}, last_four{};
  const Eight* columns = reinterpret_cast<const Eight*>(x);
  for (std::size_t first = 0; first < count; first += block) {
    const std::size_t end = std::min(count, first + block);
    Eight a = {}, b = {}, c = {}, d = {};  // four: an addition takes longer than to begin the next
    std::size_t j = first;
    for (; j + 4 <= end; j += 4) {
      a += row[j] * columns[j];
      b += row[j + 1] * columns[j + 1];
      c += row[j + 2] * columns[j + 2];
      d += row[j + 3] * columns[j + 3];
    }
    for (; j < end; ++j) a += row[j] * columns[j];
    add_halves(first_four, last_four, (a + b) + (c + d));
  }
  store(sum, first_four);
  store(sum + four, last_four);
}

using Times = void (*)(const float*, const float*, std::size_t, double*);
void times_plain(const float* row, const float* x, std::size_t count, double* sum) { times(row, x, count, sum); }

#if defined(__x86_64__)
__attribute__((target("avx2,fma"))) void times_avx2(const float* row, const float* x, std::size_t count, double* sum) { times(row, x, count, sum); }
Times fastest() { return __builtin_cpu_supports("avx2") && __builtin_cpu_supports("fma") ? times_avx2 : times_plain; }
#else
Times fastest() { return times_plain; }
#endif

}  // namespace

void times_eight(const float* row, const float* x, std::size_t count, double* sum) {
  static const Times best = fastest();
  best(row, x, count, sum);
}

}  // namespace rakelight
