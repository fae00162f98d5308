// What the patches of a room exchange.
#pragma once
#include <span>
#include <vector>

#include "light/many.h"

namespace rakelight {

/// How many rooms are best given at a time.
inline constexpr int bounced_together = 8;

/// Bounced light from direct light: sets patch_exitance, cell_exitance, uneven and balance of each lighting. `direct`: lx of every
/// cell, as many as lightings. Rooms given together cost less than one by one: each of the basis's tables is read once for four or
/// eight of them. They differ from one by one in the last digits of a float.
void bounce(const LightBasis& basis, std::span<const std::vector<double>> direct, std::span<Lighting> lightings, double left_over = exchange_left_over);

}  // namespace rakelight
