#include "assess/sun_grid.h"

#include <cstdint>

#include "base/eight_floats.h"
#include "base/wide.h"

namespace rakelight {
namespace {

RAKELIGHT_WIDE void weigh_four(const std::array<const float*, 4>& row, const std::array<float, 4>& weight, std::size_t count, float* out) {
  std::size_t k = 0;
  for (; k + 8 <= count; k += 8) {
    EightFloats a, b, c, d;
    load(a, row[0] + k);
    load(b, row[1] + k);
    load(c, row[2] + k);
    load(d, row[3] + k);
    store(out + k, weight[0] * a + weight[1] * b + weight[2] * c + weight[3] * d);
  }
  for (; k < count; ++k) out[k] = weight[0] * row[0][k] + weight[1] * row[1][k] + weight[2] * row[2][k] + weight[3] * row[3][k];
}

bool overshoots(float found, float from, float to) { return found < 0.5f * std::min(from, to) || found > 1.5f * std::max(from, to); }

/// The first of count numbers side by side that overshoots, from `first` on; count where none does. Looks at eight at a time.
RAKELIGHT_WIDE std::size_t next_overshoot(const float* found, const float* from, const float* to, std::size_t first, std::size_t count) {
  for (; first + 8 <= count; first += 8) {
    EightFloats f, a, b;
    load(f, found + first);
    load(a, from + first);
    load(b, to + first);
    const EightFloats least = a < b ? a : b, most = a < b ? b : a;
    const EightInts over = (f < 0.5f * least) | (f > 1.5f * most);
    std::int64_t any[4];
    std::memcpy(any, &over, sizeof any);
    if (any[0] | any[1] | any[2] | any[3]) break;
  }
  while (first < count && !overshoots(found[first], from[first], to[first])) ++first;
  return first;
}

}  // namespace

void blend(const std::array<const float*, 4>& row, const SunGrid::Line& line, std::size_t count, Grouped grouped, float* out) {
  const std::array<double, 4> weight = SunGrid::lagrange(line);
  std::array<const float*, 4> rows = row;
  for (std::size_t i = static_cast<std::size_t>(line.taps); i < 4; ++i) rows[i] = row[0];  // with no weight
  weigh_four(rows, {static_cast<float>(weight[0]), static_cast<float>(weight[1]), static_cast<float>(weight[2]), static_cast<float>(weight[3])}, count, out);
  if (grouped.width == 0) return;
  const std::size_t inner = static_cast<std::size_t>(std::clamp(static_cast<int>(line.x), 0, line.taps - 2));
  const float t = static_cast<float>(line.x - static_cast<double>(inner));
  const float *a = row[inner], *b = row[inner + 1];
  const std::size_t groups = count / grouped.width, next = grouped.apart ? 1 : grouped.width, beside = grouped.apart ? groups : 1;
  const std::size_t first = grouped.at * beside;
  for (std::size_t g = 0; g < groups; ++g) {
    if (grouped.apart && (g = next_overshoot(out + first, a + first, b + first, g, groups)) == groups) return;
    const std::size_t k = g * next;
    if (!overshoots(out[k + first], a[k + first], b[k + first])) continue;
    for (std::size_t i = 0; i < grouped.width; ++i) out[k + i * beside] = (1 - t) * a[k + i * beside] + t * b[k + i * beside];
  }
}

}  // namespace rakelight
