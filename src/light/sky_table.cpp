#include "light/sky_table.h"

#include "kernel/sky.h"
#include "light/parallel.h"

namespace rakelight {

SkyTable::SkyTable(const SkyState& sky, int columns, int rows)
    : stride_(static_cast<std::size_t>(columns) + 1), across_(static_cast<float>(columns) / 65536), up_(static_cast<float>(rows) / 65535) {
  value_.assign(stride_ * (static_cast<std::size_t>(rows) + 2), 0.0f);
  if (sky.dark) return;
  kernel::Outside open = outside_of(sky);
  open.skyline_altitude = 0;
  for_each_index(rows + 1, [&](int j) {
    // a hair above the horizon, which itself counts as ground
    const double rise = static_cast<double>(j) / rows, beta = std::max(0.5 * pi * rise * rise, 1e-6);
    float* row = value_.data() + static_cast<std::size_t>(j) * stride_;
    for (int i = 0; i < columns; ++i) {
      const double alpha = 2 * pi * i / columns;
      row[i] = static_cast<float>(
          kernel::outside_luminance(open, {std::cos(alpha) * std::cos(beta), std::sin(alpha) * std::cos(beta), std::sin(beta)}));
    }
    row[columns] = row[0];
  });
  // the zenith is the last place of the last row
  std::copy_n(value_.end() - 2 * static_cast<std::ptrdiff_t>(stride_), stride_, value_.end() - static_cast<std::ptrdiff_t>(stride_));
}

}  // namespace rakelight
