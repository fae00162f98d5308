#include "light/sky_table.h"

#include <memory>

#include "kernel/sky.h"
#include "light/indicatrix.h"
#include "light/parallel.h"

namespace rakelight {

Indicatrix::Indicatrix(double c, double d, double e) : c_(c), d_(d), e_(e) {
  for (std::size_t i = 0; i < value_.size(); ++i)
    value_[i] = kernel::iso_indicatrix(2 * std::asin(std::min(1.0, static_cast<double>(i) / steps)), c, d, e);
}

const Indicatrix& Indicatrix::of(const kernel::Outside& outside) {
  thread_local std::unique_ptr<const Indicatrix> last;
  if (!last || last->c_ != outside.c || last->d_ != outside.d || last->e_ != outside.e) last = std::make_unique<const Indicatrix>(outside.c, outside.d, outside.e);
  return *last;
}

SkyTable::SkyTable(const SkyState& sky, int columns, int rows)
    : stride_(static_cast<std::size_t>(columns) + 1), across_(static_cast<float>(columns) / 65536), up_(static_cast<float>(rows) / 65535) {
  if (sky.dark) return;
  const kernel::Outside open = outside_of(sky);
  if (open.scale <= 0) return;
  black_ = false;
  value_.resize(stride_ * (static_cast<std::size_t>(rows) + 2));
  const Indicatrix& indicatrix = Indicatrix::of(open);
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
    for (std::size_t i = 0; i < around.size(); ++i) row[i] = static_cast<float>(there * indicatrix.at({around[i].x * level, around[i].y * level, up}, open.sun));
    row[columns] = row[0];
  });
  // the zenith is the last place of the last row
  std::copy_n(value_.end() - 2 * static_cast<std::ptrdiff_t>(stride_), stride_, value_.end() - static_cast<std::ptrdiff_t>(stride_));
}

}  // namespace rakelight
