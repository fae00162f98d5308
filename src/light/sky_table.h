// The sky's luminance as a table over directions, so that rays kept in the basis find their luminance by a few loads.
#pragma once
#include <algorithm>
#include <cmath>
#include <cstdint>
#include <vector>

#include "base/units.h"
#include "sky/sky.h"

namespace rakelight {

/// A direction above the horizon: azimuth in 65536ths of a turn from plan +x towards +y, and the square root of the
/// altitude over 90 degrees in 65535ths (0.004° at 5°).
struct SkyPlace { std::uint16_t azimuth = 0, altitude = 0; };

inline SkyPlace sky_place(double azimuth, double altitude) {
  const double turns = azimuth / (2 * pi);
  const double rise = std::sqrt(std::clamp(altitude / (0.5 * pi), 0.0, 1.0));
  return {static_cast<std::uint16_t>(static_cast<std::uint32_t>((turns - std::floor(turns)) * 65536) & 0xffff),
          static_cast<std::uint16_t>(rise * 65535)};
}

/// Luminances, cd/m², at columns × rows of equal steps of azimuth and of the altitude's square root (closer near the
/// horizon), bilinear between: at 512 × 128 the steps are 0.7° × 0.5° at 5° of altitude, and a cell beside the sun is off
/// by 0.5 %.
class SkyTable {
 public:
  explicit SkyTable(const SkyState& sky, int columns = 512, int rows = 128);
  /// Whether nothing comes from it at all.
  bool black() const { return black_; }
  /// Precondition: it is not black.
  double at(SkyPlace p) const {
    const float u = static_cast<float>(p.azimuth) * across_, v = static_cast<float>(p.altitude) * up_;
    const int i = static_cast<int>(u), j = static_cast<int>(v);
    const float s = u - static_cast<float>(i), t = v - static_cast<float>(j);
    const float* low = value_.data() + static_cast<std::size_t>(j) * stride_ + i;
    const float* high = low + stride_;
    return (1 - t) * ((1 - s) * low[0] + s * low[1]) + t * ((1 - s) * high[0] + s * high[1]);
  }

 private:
  bool black_ = true;
  std::size_t stride_ = 0;
  float across_ = 0, up_ = 0;
  std::vector<float> value_;   // rows + 2 of columns + 1
};

}  // namespace rakelight
