// What lies near a window outside: its luminances at a moment, and the bands of even luminance that a basis keeps.
#pragma once
#include <vector>

#include "kernel/window.h"
#include "light/light.h"
#include "room/room.h"
#include "sky/sky.h"

namespace rakelight {

/// A window's shades as its kernel takes them.
kernel::Shades shades_of(const Window& window);

/// Luminances, cd/m², seen through one window at one moment, and how far from the house its shadow on the ground reaches, m.
struct NearOutside { double skyline = 0, ground = 0, shaded_ground = 0, eaves = 0, fins = 0, reach = 0; };
/// The house's front is the glass's plane, without end; its shadow is bounded by its height along the front, so it reaches
/// height × (the sun's part away from the front) / (its part up), and nowhere while the sun stands before the front.
/// Eaves' underside sees ground and the house's front in equal parts (a level face at an upright one without end); the front
/// and fins are dull upright faces that see half of the horizontal illuminance. Of the ground that the eaves see, the part
/// in the house's shadow is that of an endless strip seen from its edge, d / sqrt(d² + h²), h the eaves' height over the
/// ground. Sun on eaves and fins themselves is left out. All 0 when the sky is dark.
NearOutside near_outside(const Room& room, int window, const SkyState& sky);

/// Luminance, cd/m², behind the glass of a window: `glass` a point of it (its wall's x, y), w a direction outwards (plan axes).
double luminance_beyond(const Room& room, int window, const SkyState& sky, dvec2 glass, dvec3 w);

/// Bands of even luminance: the skyline, ground by its distance from each wall with windows, eaves and fins of each window.
/// Without a house that throws a shadow all ground is one band.
class EvenBands {
 public:
  EvenBands() = default;
  EvenBands(const Room& room, const Outskirts& outskirts);
  int count() const { return count_; }
  int skyline() const { return 0; }
  /// strip: of reaches(), counted from the house.
  int ground(int window, int strip) const { return ground_[static_cast<std::size_t>(window)] + strip; }
  int eaves(int window) const { return shades_[static_cast<std::size_t>(window)]; }
  int fins(int window) const { return shades_[static_cast<std::size_t>(window)] + 1; }
  /// Distances from the house, m, at which strips of ground part; empty when it throws no shadow.
  const std::vector<double>& reaches() const { return reaches_; }
  /// cd/m² of every band.
  std::vector<double> luminance(const Room& room, const SkyState& sky) const;

 private:
  int count_ = 2;
  std::vector<int> ground_, shades_;   // per window
  std::vector<double> reaches_;
};

}  // namespace rakelight
