// The light of many moments at once, for sweeps over skies: what they read of a room is read once for several.
#pragma once
#include <span>
#include <vector>

#include "base/large_memory.h"
#include "light/light.h"
#include "light/station.h"

namespace rakelight {

/// Of the direct light, what the exchange between patches leaves over: there products in float end.
inline constexpr double exchange_left_over = 3e-7;

/// make_lighting of each moment, with field grids if they are wanted. `left_over`: where the exchange may end sooner.
std::vector<Lighting> make_lightings(const Job& job, const Room& room, const std::shared_ptr<const LightBasis>& basis, std::span<const Moment> moments,
                                     bool fields = false, double left_over = exchange_left_over);

/// Patches and cells of many lightings, by one basis, side by side.
class PatchLights {
 public:
  PatchLights() = default;
  /// The lightings may go.
  explicit PatchLights(std::span<const Lighting> lightings);
  std::size_t count() const { return count_; }
  /// What they send to a station, one light vector each, lx in its face's frame: light_from_patches (light/station.h) within the
  /// digits of a float.
  std::vector<LightVector> at(const StationLight& station) const;

 private:
  /// A patch that is uneven in some lightings: which, and how far its cells stand from its mean there, [cell][lighting].
  struct Uneven { int patch; std::vector<std::size_t> in; std::vector<float> excess; };
  std::size_t count_ = 0, patches_ = 0, cells_ = 0;
  const Room* room_ = nullptr;
  std::shared_ptr<const LightBasis> basis_;
  Table<float> patch_, cell_;        ///< [eight lightings][patch or cell][lighting of the eight]
  std::vector<Uneven> uneven_;
};

}  // namespace rakelight
