// The skies of a year and the rooms that they and the sun light, of which its tables are made.
#pragma once
#include <vector>

#include "assess/few_of.h"
#include "assess/year_parts.h"
#include "light/many.h"

namespace rakelight {

inline constexpr double unit_beam = 1e5;     ///< lx, of a beam before the glass
/// How far the rooms' exchange is carried (light/many.h): thousandths of what is bounced are lost in mixing and between nodes.
inline constexpr double year_left_over = 3e-5;

/// The sky above with the sun at a place, without the sun's disc; under −17° as at −17°, where it is as dark as it gets.
SkyState sky_alone(const YearModel::Parts& parts, DaySun::Place place);

/// The skies of the year: at every node of the fast grid that some place of the sun is interpolated from, on it or on one of the grids whose
/// nodes are among its own.
struct Skies {
  std::vector<int> nodes;        ///< of the fast grid, those that it needs itself
  std::vector<SkyState> at;      ///< per node of the fast grid
};
Skies make_skies(const YearModel::Parts& parts);

/// What the room looks like under each node of a grid: the patches' exitances, per lux.
struct Rooms { std::vector<int> nodes; std::vector<std::vector<double>> exitance; };

/// The rooms under the skies of the middling grid. Light of skies is mixed as skies are: a few of them light the room, all others are
/// mixtures of these rooms.
struct SkyRooms {
  Rooms rooms;
  FewOf few;
  std::vector<double> lux;       ///< diffuse, of the chosen
  PatchLights lights;            ///< of the chosen
  SunTable share;                ///< of the chosen, per lux, over the middling grid
  /// What each of the chosen bounces to a station, per lux.
  std::vector<LightVector> at(const StationLight& station) const {
    std::vector<LightVector> light = lights.at(station);
    for (std::size_t k = 0; k < light.size(); ++k) light[k] = (1 / lux[k]) * light[k];
    return light;
  }
};
SkyRooms light_sky_rooms(const YearModel::Parts& parts, const Skies& skies);

/// The rooms under a beam of the sun alone, at the nodes of the grid of beams from which some of it comes in; per lux of it before the glass.
struct BeamRooms {
  Rooms rooms;
  std::vector<PatchLights> lights;           ///< of all, in their order, some at a time
  std::vector<int> some;                     ///< indices of a few, spread over all
  PatchLights of_some;                       ///< patches far off taken as even
};
BeamRooms light_beam_rooms(const YearModel::Parts& parts);

}  // namespace rakelight
