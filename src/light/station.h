// All smooth light that reaches one point of a face, as what each part of the outside and each patch of the room sends:
// for sweeps over many skies, where smooth_light would measure the same window again and again.
#pragma once
#include <cstdint>
#include <vector>

#include "kernel/sky.h"
#include "light/light.h"

namespace rakelight {

struct StationLight {
  dvec3 at{0};                                    ///< plan axes
  int surface = -1;
  struct Part { dvec3 towards; LightVector e; };  ///< plan axes; per cd/m² there
  std::vector<Part> sky;
  std::vector<LightVector> even;                  ///< per cd/m² of each even band of the basis (light/outside.h)
  std::vector<float> bounce;                      ///< [patch][3]: per lm/m² of its mean exitance
  struct NearCell { std::uint32_t cell; float x, y, n; };
  std::vector<NearCell> near;                     ///< of near patches, per lm/m² of a cell's exitance
};

/// `glazing`: per window. Points are kept 1 mm off the face's edges, as in smooth_light.
StationLight make_station_light(const Room& room, const LightBasis& basis, const std::vector<Glazing>& glazing, const Outskirts& outskirts,
                                int surface, dvec2 p);
/// lx, in the face's frame. Against smooth_light: within 0.5 % of E_n beside the sun (tests/unit/light/station.cpp).
/// `even`: even_luminance of the moment.
LightVector light_from_outside(const StationLight& station, const kernel::Outside& outside, const std::vector<double>& even);
/// Luminances of the basis's even bands under a sky, cd/m².
std::vector<double> even_luminance(const LightBasis& basis, const Room& room, const SkyState& sky);
/// Far patches by their means, near ones and uneven ones by their cells.
LightVector light_from_patches(const StationLight& station, const Lighting& lighting);

}  // namespace rakelight
