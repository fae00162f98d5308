// Conversions at the program's borders; inside everything is SI (m, rad, lx, cd/m²).
#pragma once
#include <numbers>

namespace rakelight {
inline constexpr double pi = std::numbers::pi;
inline constexpr double rad_per_deg = pi / 180.0;
inline constexpr double deg_per_rad = 180.0 / pi;
inline constexpr double m_per_mm = 1e-3;
inline constexpr double mm_per_m = 1e3;
inline constexpr double mm_per_inch = 25.4;
}  // namespace rakelight
