// The tables of a year under one kind of sky. Light is linear in what lies outside the glass and in the brightness of the room,
// and so each view's luminance and its answer to slope are sums of a few shares: parts of the glass, and a few of all the ways in
// which the room is lit. Their sums are tabulated over the sun's place.
#include <algorithm>
#include <cassert>
#include <cmath>

#include "assess/few_of.h"
#include "assess/looks.h"
#include "assess/year_parts.h"
#include "base/units.h"
#include "light/many.h"
#include "light/parallel.h"

namespace rakelight {
namespace {

constexpr double unit_beam = 1e5;        // lx, whose bounce is tabulated per lux

/// The sky above with the sun at a place, without the sun's disc; under −17° as at −17°, where it is as dark as it gets.
SkyState sky_alone(const YearModel::Parts& parts, DaySun::Place place) {
  SunPosition sun = DaySun::position(parts.latitude, place);
  if (sun.altitude < -17 * rad_per_deg) sun.altitude = sun.apparent_altitude = -17 * rad_per_deg;
  SkyState sky = make_sky(parts.site, sun, parts.sky_type);
  sky.sun_up = false;
  sky.direct_normal = 0;
  return sky;
}

void store(float* row, const LightVector& e) {
  row[0] = static_cast<float>(e.x);
  row[1] = static_cast<float>(e.y);
  row[2] = static_cast<float>(e.n);
}
/// That of view v of `count`.
void store(float* row, std::size_t v, std::size_t count, const SlopeLight& l) {
  row[v] = static_cast<float>(l.flat);
  row[count + v] = static_cast<float>(l.change);
}

std::vector<NearOutside> near_windows(const YearModel::Parts& parts, const SkyState& sky) {
  std::vector<NearOutside> all;
  for (std::size_t w = 0; w < parts.study->room.windows.size(); ++w) all.push_back(near_outside(parts.study->room, static_cast<int>(w), sky));
  return all;
}

/// What the room looks like under each node of a grid: the patches' exitances, per lux.
struct Rooms { std::vector<int> nodes; std::vector<std::vector<double>> exitance; };

/// Lights the room at many nodes, some at a time (a lighting takes much room), and puts the bounced light of every spot into a table,
/// per lux of `lux`.
template <class Sky, class Lux>
Rooms light_rooms(YearModel::Parts& parts, std::vector<int> nodes, Sky&& sky, Lux&& lux, SunTable& table) {
  const Study& study = *parts.study;
  // what a station sees of cells far off is worked out once for all that are at hand
  constexpr std::size_t most_numbers = 5'000'000;
  const int most = static_cast<int>(std::clamp<std::size_t>(most_numbers / (17 * patches(*parts.basis).size() + 1), 64, 512));
  Rooms rooms{std::move(nodes), {}};
  const int count = static_cast<int>(rooms.nodes.size());
  rooms.exitance.resize(rooms.nodes.size());
  for (int first = 0; first < count; first += most) {
    const int here = std::min(most, count - first);
    std::vector<Moment> moments;
    for (int i = 0; i < here; ++i) moments.push_back(moment_under(study, sky(first + i)));
    std::vector<Lighting> lightings = make_lightings(study.job, study.room, parts.basis, moments);
    const PatchLights from(lightings);
    for_each_index(static_cast<int>(parts.spots.size()), [&](int s) {
      const std::vector<LightVector> light = from.at(parts.spots[s].light);
      for (int i = 0; i < here; ++i) store(table.at(rooms.nodes[first + i]) + 3 * s, (1 / lux(first + i)) * light[i]);
    });
    for (int i = 0; i < here; ++i) {
      rooms.exitance[first + i] = std::move(lightings[i].patch_exitance);
      for (double& m : rooms.exitance[first + i]) m /= lux(first + i);
    }
  }
  return rooms;
}

Rooms tabulate_bounce(YearModel::Parts& parts) {
  parts.bounce = SunTable(parts.middling, 3 * static_cast<int>(parts.spots.size()));
  const std::vector<int> nodes = parts.middling.needed(parts.latitude, lowest_sun);
  std::vector<SkyState> skies(nodes.size());
  for_each_index(static_cast<int>(nodes.size()), [&](int i) { skies[i] = sky_alone(parts, parts.middling.place(nodes[i])); });
  return light_rooms(parts, nodes, [&](int i) { return skies[i]; }, [&](int i) { return skies[i].diffuse_horizontal; }, parts.bounce);
}

std::vector<double> patch_areas(const LightBasis& basis) {
  std::vector<double> area;
  for (const Patch& p : patches(basis)) area.push_back(p.area);
  return area;
}

/// Of a room's exitances: how far mixtures of a few rooms may miss it where finer patches are asked what they make of these few.
constexpr double fine_rooms = 0.1;

/// Beside the corners of a room light changes within a decimetre, where the year's patches have one cell: there |E_t| is small beside
/// E_n, and some thousandths of E_n off are some percent of R. So the study's own, smaller patches light a few of the rooms, and what
/// they make of these at each spot is put to all rooms as these are mixed. The beam's bounce goes without:
/// nineteen of its rooms, asked too, bring R no nearer.
void refine_bounce(YearModel::Parts& parts, const Rooms& by_sky) {
  const Study& study = *parts.study;
  if (patches(*study.basis).size() <= patches(*parts.basis).size()) return;
  const FewOf few = few_of(by_sky.exitance, patch_areas(*parts.basis), fine_rooms);
  std::vector<Moment> moments;
  for (const int i : few.chosen) moments.push_back(moment_under(study, sky_alone(parts, parts.middling.place(by_sky.nodes[i]))));
  const PatchLights from(make_lightings(study.job, study.room, study.basis, moments));
  for_each_index(static_cast<int>(parts.spots.size()), [&](int s) {
    const Spot& spot = parts.spots[s];
    std::vector<LightVector> off = from.at(make_station_light(study.room, *study.basis, parts.glazing, parts.around, parts.surfaces[spot.face], spot.p));
    for (std::size_t k = 0; k < off.size(); ++k) {
      const float* here = parts.bounce.at(by_sky.nodes[few.chosen[k]]) + 3 * s;
      off[k] = (1 / moments[k].sky.diffuse_horizontal) * off[k] + LightVector{-here[0], -here[1], -here[2]};
    }
    for (std::size_t i = 0; i < by_sky.nodes.size(); ++i) {
      float* row = parts.bounce.at(by_sky.nodes[i]) + 3 * s;
      LightVector e{row[0], row[1], row[2]};
      for (std::size_t k = 0; k < off.size(); ++k) e += few.share[i][k] * off[k];
      store(row, {e.x, e.y, std::max(0.0, e.n)});
    }
  });
}

/// What one beam of the sun through the windows bounces to every spot, per lux of it before the glass.
Rooms tabulate_beam(YearModel::Parts& parts) {
  const Study& study = *parts.study;
  parts.beam_bounce = SunTable(parts.beams, 3 * static_cast<int>(parts.spots.size()), {3, 2});
  std::vector<int> nodes;
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
    nodes.push_back(node);
    skies.push_back(sky);
  }
  return light_rooms(parts, std::move(nodes), [&](int i) { return skies[i]; }, [](int) { return unit_beam; }, parts.beam_bounce);
}

/// The sky at every node of the fast grid that is needed.
struct Skies { std::vector<int> nodes; std::vector<SkyState> sky; };
Skies fast_skies(const YearModel::Parts& parts) {
  Skies skies{parts.fast.needed(parts.latitude, lowest_sun), {}};
  skies.sky.resize(skies.nodes.size());
  for_each_index(static_cast<int>(skies.nodes.size()), [&](int i) { skies.sky[i] = sky_alone(parts, parts.fast.place(skies.nodes[i])); });
  return skies;
}

void tabulate_sky(YearModel::Parts& parts, const Skies& skies) {
  const int spots = static_cast<int>(parts.spots.size());
  parts.fast_sky = SunTable(parts.fast, 3 * spots);
  for_each_index(static_cast<int>(skies.nodes.size()), [&](int i) {
    const SkyState& sky = skies.sky[i];
    const kernel::Outside outside = outside_of(sky);
    const std::vector<double> even = even_luminance(*parts.basis, parts.study->room, sky);
    for (int s = 0; s < spots; ++s)
      store(parts.fast_sky.at(skies.nodes[i]) + 3 * s, (1 / sky.diffuse_horizontal) * light_from_outside(parts.spots[s].light, outside, even));
  });
}

/// Where the sun stands when it is first asked who sees what: over the year, and more closely where it comes in.
std::vector<DaySun::Place> first_places(const YearModel::Parts& parts) {
  std::vector<DaySun::Place> places;
  const auto add = [&](const SunGrid& grid, double least, bool entering) {
    for (const int node : grid.needed(parts.latitude, least)) {
      const DaySun::Place place = grid.place(node);
      const SunPosition sun = DaySun::position(parts.latitude, place);
      if (sun.altitude >= least && (!entering || SunBeams(parts.study->room, parts.sky_of(parts.now(place)), parts.glazing).any())) places.push_back(place);
    }
  };
  add(parts.middling, lowest_sun, false);
  add(parts.beams, -kernel::sun_radius(), true);
  return places;
}

/// Looks once over all views at some places of the sun and keeps those that matter: of every joint the views within 0.15 of its best
/// somewhere, where they are seen best along their joint; under the sun, which wanders along joints, all anchors within 0.3. The
/// bounced light is that of a few of these places, the nearest each time, and the room's sheen is taken as if it were even.
void prune(YearModel::Parts& parts, std::vector<std::vector<SpotView>>& all) {
  constexpr double near = 0.85, near_in_sun = 0.7;
  constexpr std::size_t most_rooms = 40;
  const Study& study = *parts.study;
  const std::vector<DaySun::Place> places = first_places(parts);
  const std::size_t every = (places.size() + most_rooms - 1) / most_rooms;
  std::vector<DaySun::Place> lit;
  for (std::size_t i = 0; i < places.size(); i += std::max<std::size_t>(every, 1)) lit.push_back(places[i]);
  std::vector<Moment> moments;
  for (const DaySun::Place place : lit) moments.push_back(moment_under(study, make_sky(parts.site, DaySun::position(parts.latitude, place), parts.sky_type)));
  const std::vector<Lighting> lightings = make_lightings(study.job, study.room, parts.basis, moments);
  const PatchLights from(lightings);
  std::vector<std::vector<LightVector>> bounced(parts.spots.size());
  for_each_index(static_cast<int>(parts.spots.size()), [&](int s) {
    if (parts.spots[s].anchor) bounced[s] = from.at(parts.spots[s].light);
  });
  const double least = 0.5 * *study.job.verdict.faint / *study.job.verdict.band;
  std::vector<std::vector<std::vector<char>>> keep(places.size());
  for_each_index(static_cast<int>(places.size()), [&](int i) {
    std::size_t room = 0;
    const auto off = [&](std::size_t r) { return glm::length(direction_of(lit[r]) - direction_of(places[i])); };
    for (std::size_t r = 1; r < lit.size(); ++r)
      if (off(r) < off(room)) room = r;
    const SunNow now = parts.now(places[i]);
    auto& here = keep[i];
    here.resize(all.size());
    const SkyState sky = sky_alone(parts, places[i]);
    const kernel::Outside outside = outside_of(sky);
    const std::vector<double> even = even_luminance(*parts.basis, study.room, sky);
    const std::vector<NearOutside> outdoors = near_windows(parts, sky);
    const SunBeams beams(study.room, parts.sky_of(now), parts.glazing);
    const SunReach reach(study, parts.surfaces, now.towards);
    const double level = lightings[room].sky.diffuse_horizontal > 0 ? sky.diffuse_horizontal / lightings[room].sky.diffuse_horizontal : 0;
    std::vector<LightVector> light(all.size()), from_room(all.size());
    for (std::size_t s = 0; s < all.size(); ++s)
      if (parts.spots[s].anchor) {
        from_room[s] = level * bounced[s][room];
        light[s] = light_from_outside(parts.spots[s].light, outside, even) + from_room[s];
      }
    std::vector<std::vector<double>> v(all.size());
    std::vector<char> in_sun(all.size(), 0);
    std::vector<double> luminance;
    for (std::size_t s = 0; s < all.size(); ++s) {
      const Spot& spot = parts.spots[s];
      const double share = parts.share_after(spot);
      const auto between = [&](const std::vector<LightVector>& of) { return (1 - share) * of[spot.before] + share * of[spot.after]; };
      luminance.clear();
      for (const GlassShare& glass : spot.glass) luminance.push_back(luminance_beyond(glass, outdoors[glass.window], outside));
      const LightVector e = between(light), back = between(from_room);
      Sunlit sun;
      if (beams.any() && reach.may(spot.face, spot.p, std::max(-spot.lo, spot.hi))) sun.beam = parts.sunlit(now, beams, spot).beam;
      in_sun[s] = sun.beam > 0;
      for (const SpotView& view : all[s]) {
        SlopeLight l = view.base_of(e);
        for (std::size_t k = 0; k < luminance.size(); ++k) l += luminance[k] * view.glass[k];
        l += view.eye.even_sheen(std::max(0.0, back.n));
        v[s].push_back(visibility_of(view.unit, parts.answer(view, l, sun.beam > 0 ? view.eye.sun(now.towards, sun.beam) : SlopeLight{}, sun, 0)));
      }
    }
    const auto seen_at = [&](int s, int viewer) {
      for (std::size_t k = 0; k < all[s].size(); ++k)
        if (all[s][k].viewer == viewer) return v[s][k];
      return 0.0;
    };
    for (std::size_t f = 0; f < parts.surfaces.size(); ++f)
      for (std::size_t j = 0; j < parts.joints[f].size(); ++j) {
        const int first = parts.first_spot[f][j], end = parts.first_spot[f][j + 1];
        double best = 0;
        for (int s = first; s < end; ++s)
          for (const double x : v[s]) best = std::max(best, x);
        for (int s = first; s < end; ++s) {
          here[s].resize(v[s].size());
          for (std::size_t k = 0; k < v[s].size(); ++k) {
            const int viewer = all[s][k].viewer;
            const auto beside = [&](int other) {
              return other >= first && other < end && parts.spots[other].stretch == parts.spots[s].stretch && in_sun[other] == in_sun[s] ? seen_at(other, viewer) : 0.0;
            };
            const bool top = v[s][k] >= beside(s - 1) && v[s][k] >= beside(s + 1);
            here[s][k] = best > 0 && (v[s][k] == best || (best > least && ((top && v[s][k] > near * best) || (in_sun[s] && parts.spots[s].anchor && v[s][k] > near_in_sun * best))));
          }
        }
      }
  });
  std::vector<std::vector<char>> wanted(all.size());
  for (std::size_t s = 0; s < all.size(); ++s)
    for (std::size_t k = 0; k < all[s].size(); ++k)
      wanted[s].push_back(std::any_of(keep.begin(), keep.end(), [&](const auto& here) { return k < here[s].size() && here[s][k]; }));
  keep_views(parts, all, wanted);
}

/// Sheen of every view in some rooms, with black windows in them.
std::vector<std::vector<SlopeLight>> sheen_in(const YearModel::Parts& parts, const std::vector<const std::vector<double>*>& rooms) {
  std::vector<std::vector<SlopeLight>> sheen(parts.views.size(), std::vector<SlopeLight>(rooms.size()));
  if (rooms.empty()) return sheen;
  const std::vector<Relief> none(parts.study->room.surfaces.size());
  std::vector<Lighting> lightings(rooms.size());
  std::vector<Scene> scenes(rooms.size());
  for_each_index(static_cast<int>(rooms.size()), [&](int i) {
    lightings[i] = unlit_room(parts);
    lightings[i].patch_exitance = *rooms[i];
    scenes[i] = make_scene(parts.study->room, lightings[i], none, parts.study->paints);
  });
  std::vector<const Scene*> scene;
  std::vector<const Lighting*> lighting;
  for (std::size_t i = 0; i < rooms.size(); ++i) {
    scene.push_back(&scenes[i]);
    lighting.push_back(&lightings[i]);
  }
  const SceneSet set(std::move(scene), std::move(lighting));
  for_each_index(static_cast<int>(parts.views.size()), [&](int v) {
    if (parts.anchor[v].own(v)) parts.views[v].eye.sheens(set, sheen[v].data());
  });
  for (int v = 0; v < static_cast<int>(parts.views.size()); ++v) {
    const ViewAnchor& at = parts.anchor[v];
    if (at.own(v)) continue;
    for (std::size_t m = 0; m < rooms.size(); ++m) {
      sheen[v][m] = (1 - at.share) * sheen[at.before][m];
      sheen[v][m] += at.share * sheen[at.after][m];
    }
  }
  return sheen;
}

SlopeLight mixed(const std::vector<SlopeLight>& sheen, std::size_t first, const double* share, std::size_t count) {
  SlopeLight sum;
  for (std::size_t k = 0; k < count; ++k) sum += share[k] * sheen[first + k];
  return sum;
}

/// Of a room's exitances: how far mixtures of a few rooms may miss it where their sheen is worked out. The beam's patch wanders,
/// and nearer would want a room for nearly every node; what that costs in V is held by the tests of the year's hours.
constexpr double sky_rooms = 0.02, beam_rooms = 0.1;

void tabulate_views(YearModel::Parts& parts, const Skies& skies, const Rooms& by_sky, const Rooms& by_beam) {
  const std::vector<double> areas = patch_areas(*parts.basis);
  const FewOf few_skies = few_of(by_sky.exitance, areas, sky_rooms), few_beams = few_of(by_beam.exitance, areas, beam_rooms);
  std::vector<const std::vector<double>*> chosen;
  for (const int i : few_skies.chosen) chosen.push_back(&by_sky.exitance[i]);
  for (const int i : few_beams.chosen) chosen.push_back(&by_beam.exitance[i]);
  const std::vector<std::vector<SlopeLight>> sheen = sheen_in(parts, chosen);
  const std::size_t width = few_skies.chosen.size();
  SunTable share(parts.middling, static_cast<int>(width));
  for (std::size_t i = 0; i < by_sky.nodes.size(); ++i) std::copy(few_skies.share[i].begin(), few_skies.share[i].end(), share.at(by_sky.nodes[i]));

  parts.view_sky = SunTable(parts.fast, 2 * static_cast<int>(parts.views.size()));
  for_each_index(static_cast<int>(skies.nodes.size()), [&](int i) {
    const SkyState& sky = skies.sky[i];
    const kernel::Outside outside = outside_of(sky);
    const std::vector<NearOutside> outdoors = near_windows(parts, sky);
    const double level = 1 / sky.diffuse_horizontal;
    const SunGrid::Stencil middling = parts.middling.stencil(parts.fast.place(skies.nodes[i]));
    std::vector<double> mix(width), bounced(3 * parts.spots.size());
    share.mix(middling, 0, static_cast<int>(width), mix.data());
    parts.bounce.mix(middling, 0, static_cast<int>(bounced.size()), bounced.data());
    std::vector<std::vector<double>> beyond(parts.spots.size());
    for (std::size_t s = 0; s < parts.spots.size(); ++s)
      for (const GlassShare& glass : parts.spots[s].glass) beyond[s].push_back(level * luminance_beyond(glass, outdoors[glass.window], outside));
    for (std::size_t v = 0; v < parts.views.size(); ++v) {
      const SpotView& view = parts.views[v];
      const std::size_t s = static_cast<std::size_t>(view.spot);
      const float* direct = parts.fast_sky.at(skies.nodes[i]) + 3 * s;
      SlopeLight l = view.base_of({direct[0] + bounced[3 * s], direct[1] + bounced[3 * s + 1], std::max(0.0, direct[2] + bounced[3 * s + 2])});
      l += mixed(sheen[v], 0, mix.data(), width);
      for (std::size_t k = 0; k < beyond[s].size(); ++k) l += beyond[s][k] * view.glass[k];
      store(parts.view_sky.at(skies.nodes[i]), v, parts.views.size(), l);
    }
  });

  parts.view_beam = SunTable(parts.beams, 2 * static_cast<int>(parts.views.size()), {2, 0, true});
  for_each_index(static_cast<int>(by_beam.nodes.size()), [&](int i) {
    for (std::size_t v = 0; v < parts.views.size(); ++v) {
      const float* e = parts.beam_bounce.at(by_beam.nodes[i]) + 3 * parts.views[v].spot;
      SlopeLight l = parts.views[v].base_of({e[0], e[1], e[2]});
      l += mixed(sheen[v], width, few_beams.share[i].data(), few_beams.chosen.size());
      store(parts.view_beam.at(by_beam.nodes[i]), v, parts.views.size(), l);
    }
  });
}

void tabulate_veil(YearModel::Parts& parts) {
  const Study& study = *parts.study;
  parts.view_veil = SunTable(parts.slow, static_cast<int>(parts.views.size()));
  const std::vector<int> nodes = parts.slow.needed(parts.latitude, lowest_sun);
  for_each_index(static_cast<int>(nodes.size()), [&](int i) {
    Lighting lighting = unlit_room(parts);
    lighting.sky = sky_alone(parts, parts.slow.place(nodes[i]));
    std::vector<std::vector<GlareSource>> glare;
    for (const Viewer& v : study.viewers) glare.push_back(glare_sources(lighting, v.eye));
    for (std::size_t v = 0; v < parts.views.size(); ++v) {
      const SpotView& view = parts.views[v];
      const double veil = veil_at(glare[view.viewer], study.viewers[view.viewer].eye, parts.spots[view.spot].world, *study.job.verdict.age);
      parts.view_veil.at(nodes[i])[v] = static_cast<float>(veil / lighting.sky.diffuse_horizontal);
    }
  });
}

/// Places of a sun well up, as far from each other as can be; the first where smooth light rakes most.
std::vector<DaySun::Place> far_places(const YearModel::Parts& parts) {
  std::vector<DaySun::Place> from, at;
  std::vector<double> light(2 * parts.views.size());
  double most = -1;
  for (const int node : parts.middling.needed(parts.latitude, 5 * rad_per_deg)) {
    const DaySun::Place place = parts.middling.place(node);
    if (DaySun::position(parts.latitude, place).altitude < 5 * rad_per_deg) continue;
    from.push_back(place);
    parts.view_sky.mix(parts.fast.stencil(place), 0, static_cast<int>(light.size()), light.data());
    double sum = 0;
    for (std::size_t v = 0; v < parts.views.size(); ++v) sum += std::abs(light[parts.views.size() + v]) / std::max(light[v], 1e-12);
    if (sum <= most) continue;
    most = sum;
    at = {place};
  }
  const auto apart = [&](const DaySun::Place& p) {
    double nearest = 1e300;
    for (const DaySun::Place& q : at) nearest = std::min(nearest, glm::length(direction_of(p) - direction_of(q)));
    return nearest;
  };
  while (!from.empty() && at.size() < held_places)
    at.push_back(*std::max_element(from.begin(), from.end(), [&](const auto& p, const auto& q) { return apart(p) < apart(q); }));
  return at;
}

}  // namespace

void make_year_tables(YearModel::Parts& parts) {
  place_spots(parts);
  std::vector<std::vector<SpotView>> all = all_views(parts);
  prune(parts, all);
  const Skies skies = fast_skies(parts);
  tabulate_sky(parts, skies);
  const Rooms by_sky = tabulate_bounce(parts), by_beam = tabulate_beam(parts);
  refine_bounce(parts, by_sky);
  set_cuts(parts);
  tabulate_views(parts, skies, by_sky, by_beam);
  tabulate_veil(parts);
  const std::vector<DaySun::Place> places = far_places(parts);
  for (std::size_t i = 0; i < places.size(); ++i) hold_to_profiles(parts, sky_alone(parts, places[i]), places[i], i);
  parts.visible = VisibilityTable(parts.views);
  for (const SpotView& view : parts.views) parts.spot_of.push_back(view.spot);
}

}  // namespace rakelight
