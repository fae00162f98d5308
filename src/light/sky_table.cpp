#include "light/sky_table.h"

#include <array>

#include "kernel/sky.h"
#include "light/parallel.h"

namespace rakelight {
namespace {

/// f of the kernel's iso_indicatrix for many directions: straight between 8192 even steps of the chord from the direction to the
/// sun's, within 2e-7 of itself. Near the antisun, where the chord hardly changes with the angle, the kernel's own.
class Indicatrix {
 public:
  explicit Indicatrix(const kernel::Outside& outside) : outside_(outside) {
    for (std::size_t i = 0; i < value_.size(); ++i) value_[i] = exact(2 * std::asin(std::min(1.0, static_cast<double>(i) / steps)));
  }
  double at(dvec3 w) const {
    const dvec3 apart = w - outside_.sun;
    const double chord = std::sqrt(glm::dot(apart, apart));
    if (chord > 1.98) return exact(kernel::angle_between(w, outside_.sun));
    const double x = chord * (0.5 * steps);
    const std::size_t i = static_cast<std::size_t>(x);
    return value_[i] + (x - static_cast<double>(i)) * (value_[i + 1] - value_[i]);
  }

 private:
  static constexpr int steps = 8192;
  double exact(double chi) const { return kernel::iso_indicatrix(chi, outside_.c, outside_.d, outside_.e); }
  const kernel::Outside& outside_;
  std::array<double, steps + 1> value_;
};

}  // namespace

SkyTable::SkyTable(const SkyState& sky, int columns, int rows)
    : stride_(static_cast<std::size_t>(columns) + 1), across_(static_cast<float>(columns) / 65536), up_(static_cast<float>(rows) / 65535) {
  value_.assign(stride_ * (static_cast<std::size_t>(rows) + 2), 0.0f);
  if (sky.dark) return;
  const kernel::Outside open = outside_of(sky);
  if (open.scale <= 0) return;
  black_ = false;
  const Indicatrix indicatrix(open);
  std::vector<dvec2> around(static_cast<std::size_t>(columns));
  for (std::size_t i = 0; i < around.size(); ++i) {
    const double alpha = 2 * pi * static_cast<double>(i) / columns;
    around[i] = {std::cos(alpha), std::sin(alpha)};
  }
  for_each_index(rows + 1, [&](int j) {
    // a hair above the horizon, which itself counts as ground
    const double rise = static_cast<double>(j) / rows, beta = std::max(0.5 * pi * rise * rise, 1e-6), up = std::sin(beta), level = std::cos(beta);
    const double there = open.scale * kernel::iso_gradation(up, open.a, open.b);
    float* row = value_.data() + static_cast<std::size_t>(j) * stride_;
    for (std::size_t i = 0; i < around.size(); ++i) row[i] = static_cast<float>(there * indicatrix.at({around[i].x * level, around[i].y * level, up}));
    row[columns] = row[0];
  });
  // the zenith is the last place of the last row
  std::copy_n(value_.end() - 2 * static_cast<std::ptrdiff_t>(stride_), stride_, value_.end() - static_cast<std::ptrdiff_t>(stride_));
}

}  // namespace rakelight
