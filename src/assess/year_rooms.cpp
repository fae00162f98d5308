// The skies of a year and the rooms that they and the sun light.
#include "assess/year_rooms.h"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "base/units.h"
#include "light/indicatrix.h"
#include "light/parallel.h"

namespace rakelight {
namespace {

/// Of a sky through the windows: how far mixtures of the few may miss it.
constexpr double few_skies_miss = 0.01;

}  // namespace

SkyState sky_alone(const YearModel::Parts& parts, DaySun::Place place) {
  SunPosition sun = DaySun::position(parts.latitude, place);
  if (sun.altitude < -17 * rad_per_deg) sun.altitude = sun.apparent_altitude = -17 * rad_per_deg;
  SkyState sky = make_sky(parts.site, sun, parts.sky_type);
  sky.sun_up = false;
  sky.direct_normal = 0;
  return sky;
}

Skies make_skies(const YearModel::Parts& parts) {
  Skies skies{parts.fast.needed(parts.latitude, lowest_sun), {}};
  std::vector<char> wanted(static_cast<std::size_t>(parts.fast.count()), 0);
  for (const int node : skies.nodes) wanted[node] = 1;
  for (const SunGrid* grid : {&parts.slow, &parts.middling})
    for (const int node : grid->needed(parts.latitude, lowest_sun)) wanted[grid->same_in(parts.fast, node)] = 1;
  // how bright a sky is goes by the sun's altitude, which is the same on both sides of noon
  std::vector<int> first;
  for (int node = 0; node < parts.fast.count(); ++node)
    if (node <= parts.fast.mirrored(node) && (wanted[node] || wanted[parts.fast.mirrored(node)])) first.push_back(node);
  skies.at.resize(wanted.size());
  for_each_index(static_cast<int>(first.size()), [&](int i) {
    const int node = first[i], other = parts.fast.mirrored(node);
    skies.at[node] = sky_alone(parts, parts.fast.place(node));
    if (other == node) return;
    SkyState& mirror = skies.at[other];
    mirror = skies.at[node];
    mirror.sun.azimuth = DaySun::position(parts.latitude, parts.fast.place(other)).azimuth;
    const SkyState stands = sky_with_sun(parts.site, mirror.sun);
    mirror.sun_direction = stands.sun_direction;
    mirror.indicatrix_sun = stands.indicatrix_sun;
  });
  return skies;
}

SkyRooms light_sky_rooms(const YearModel::Parts& parts, const Skies& skies) {
  const Study& study = *parts.study;
  SkyRooms by_sky;
  Rooms& rooms = by_sky.rooms;
  rooms.nodes = parts.middling.needed(parts.latitude, lowest_sun);
  const auto sky = [&](std::size_t i) -> const SkyState& { return skies.at[parts.middling.same_in(parts.fast, rooms.nodes[i])]; };
  // a sky as the windows have it: directions by how much of them comes in, and what is even outside
  constexpr int around = 36, rows = 9;
  std::vector<dvec3> towards;
  std::vector<double> weight;
  for (int j = 0; j < rows; ++j)
    for (int i = 0; i < around; ++i) {
      const double altitude = (j + 0.5) / rows * 0.5 * pi, azimuth = 2 * pi * i / around;
      const dvec3 w(std::cos(altitude) * std::cos(azimuth), std::cos(altitude) * std::sin(azimuth), std::sin(altitude));
      double taken = 0;
      for (const Window& window : study.room.windows) {
        const Rect glass = window.glass();
        taken += (glass.hi.x - glass.lo.x) * (glass.hi.y - glass.lo.y) * std::max(0.0, -glm::dot(study.room.surfaces[window.surface].frame.n, w));
      }
      if (taken <= 0) continue;
      towards.push_back(w);
      weight.push_back(taken * std::cos(altitude));
    }
  const double all_sky = std::accumulate(weight.begin(), weight.end(), 0.0);
  std::vector<std::vector<double>> seen(rooms.nodes.size());
  for (std::size_t i = 0; i < rooms.nodes.size(); ++i) {
    const kernel::Outside outside = outside_of(sky(i));
    const Indicatrix& indicatrix = Indicatrix::of(outside);
    for (const dvec3 w : towards) seen[i].push_back(outside.scale * sky_relative(outside, indicatrix, w));
    for (const double even : even_luminance(*parts.basis, study.room, sky(i))) seen[i].push_back(even);
    for (double& l : seen[i]) l /= sky(i).diffuse_horizontal;
  }
  if (!seen.empty()) weight.resize(seen[0].size(), all_sky / static_cast<double>(std::max<std::size_t>(seen[0].size() - towards.size(), 1)));
  by_sky.few = few_of(seen, weight, few_skies_miss);
  const std::vector<int>& chosen = by_sky.few.chosen;
  std::vector<Moment> moments;
  for (const int i : chosen) {
    moments.push_back(moment_under(study, sky(static_cast<std::size_t>(i))));
    by_sky.lux.push_back(moments.back().sky.diffuse_horizontal);
  }
  const std::vector<Lighting> lightings = make_lightings(study.job, study.room, parts.basis, moments, false, year_left_over);
  by_sky.lights = PatchLights(lightings);
  by_sky.share = SunTable(parts.middling, static_cast<int>(chosen.size()));
  rooms.exitance.resize(rooms.nodes.size());
  for (std::size_t i = 0; i < rooms.nodes.size(); ++i) {
    const std::vector<double>& share = by_sky.few.share[i];
    std::copy(share.begin(), share.end(), by_sky.share.at(rooms.nodes[i]));
    std::vector<double>& exitance = rooms.exitance[i];
    exitance.assign(patches(*parts.basis).size(), 0.0);
    for (std::size_t k = 0; k < share.size(); ++k)
      for (std::size_t j = 0; j < exitance.size(); ++j) exitance[j] += share[k] / by_sky.lux[k] * lightings[k].patch_exitance[j];
    for (double& m : exitance) m = std::max(m, 0.0);
  }
  return by_sky;
}

BeamRooms light_beam_rooms(const YearModel::Parts& parts) {
  const Study& study = *parts.study;
  BeamRooms by_beam;
  Rooms& rooms = by_beam.rooms;
  std::vector<SkyState> skies;
  for (const int node : parts.beams.needed(parts.latitude, -1 * rad_per_deg)) {
    SkyState sky = sky_with_sun(parts.site, DaySun::position(parts.latitude, parts.beams.place(node)));
    // the skyline cuts the beam at the step; nodes under it, and under the horizon, still bound what lies above
    sky.skyline = -0.5 * pi;
    sky.skyline_points.clear();
    sky.dark = false;
    sky.sun_up = true;
    sky.direct_normal = unit_beam;
    if (!SunBeams(study.room, sky, parts.glazing).any()) continue;
    rooms.nodes.push_back(node);
    skies.push_back(sky);
  }
  // a lighting takes much room
  constexpr std::size_t most_numbers = 5'000'000, most_of_some = 40;
  const std::size_t most = std::clamp<std::size_t>(most_numbers / (17 * patches(*parts.basis).size() + 1), 64, 512);
  const std::size_t every = std::max<std::size_t>((skies.size() + most_of_some - 1) / most_of_some, 1);
  std::vector<Lighting> some;
  for (std::size_t first = 0; first < skies.size(); first += most) {
    std::vector<Moment> moments;
    for (std::size_t i = first; i < std::min(first + most, skies.size()); ++i) moments.push_back(moment_under(study, skies[i]));
    std::vector<Lighting> lightings = make_lightings(study.job, study.room, parts.basis, moments, false, year_left_over);
    by_beam.lights.emplace_back(lightings);
    for (std::size_t i = 0; i < lightings.size(); ++i) {
      std::vector<double>& exitance = rooms.exitance.emplace_back(lightings[i].patch_exitance);
      for (double& m : exitance) m /= unit_beam;
      if ((first + i) % every != 0) continue;
      by_beam.some.push_back(static_cast<int>(first + i));
      some.push_back(std::move(lightings[i]));
      some.back().uneven.clear();
    }
  }
  by_beam.of_some = PatchLights(some);
  return by_beam;
}

}  // namespace rakelight
