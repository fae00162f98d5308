// The tables of a year under one kind of sky. Light is linear in what lies outside the glass and in the brightness of the room,
// and so each view's luminance and its answer to slope are sums of a few shares: parts of the glass, and a few of all the ways in
// which the room is lit. Their sums are tabulated over the sun's place.
#include <algorithm>
#include <cassert>
#include <cmath>
#include <iterator>

#include "assess/looks.h"
#include "assess/year_rooms.h"
#include "base/units.h"
#include "light/parallel.h"

namespace rakelight {
namespace {

void put_in(float* row, const LightVector& e) {
  row[0] = static_cast<float>(e.x);
  row[1] = static_cast<float>(e.y);
  row[2] = static_cast<float>(e.n);
}
/// That of view v of `count`.
void put_in(float* row, std::size_t v, std::size_t count, const SlopeLight& l) {
  row[v] = static_cast<float>(l.flat);
  row[count + v] = static_cast<float>(l.change);
}

std::vector<NearOutside> near_windows(const YearModel::Parts& parts, const SkyState& sky) {
  std::vector<NearOutside> all;
  for (std::size_t w = 0; w < parts.study->room.windows.size(); ++w) all.push_back(near_outside(parts.study->room, static_cast<int>(w), sky));
  return all;
}

std::vector<UnitVisibility> units_of(const std::vector<SpotView>& views) {
  std::vector<UnitVisibility> units;
  for (const SpotView& view : views) units.push_back(view.unit);
  return units;
}

void tabulate_bounce(YearModel::Parts& parts, const SkyRooms& by_sky) {
  parts.bounce = SunTable(parts.middling, 3 * static_cast<int>(parts.spots.size()));
  for_each_index(static_cast<int>(parts.spots.size()), [&](int s) {
    const std::vector<LightVector> light = by_sky.at(parts.spots[s].light);
    for (std::size_t i = 0; i < by_sky.rooms.nodes.size(); ++i) {
      LightVector e;
      for (std::size_t k = 0; k < light.size(); ++k) e += by_sky.few.share[i][k] * light[k];
      put_in(parts.bounce.at(by_sky.rooms.nodes[i]) + 3 * s, {e.x, e.y, std::max(0.0, e.n)});
    }
  });
}

std::vector<double> patch_areas(const LightBasis& basis) {
  std::vector<double> area;
  for (const Patch& p : patches(basis)) area.push_back(p.area);
  return area;
}

/// Of a room's exitances: how far mixtures of a few rooms may miss it where finer patches are asked what they make of these few.
constexpr double fine_rooms = 0.2;

/// Beside the corners of a room light changes within a decimetre, where the year's patches have one cell: there |E_t| is small beside
/// E_n, and some thousandths of E_n off are some percent of R. So the study's own, smaller patches light a few of the rooms, and what
/// they make of these at each spot is put to all rooms as these are mixed. The beam's bounce goes without:
/// nineteen of its rooms, asked too, bring R no nearer.
void refine_bounce(YearModel::Parts& parts, const Skies& skies, const Rooms& by_sky) {
  const Study& study = *parts.study;
  if (patches(*study.basis).size() <= patches(*parts.basis).size()) return;
  const FewOf few = few_of(by_sky.exitance, patch_areas(*parts.basis), fine_rooms);
  std::vector<Moment> moments;
  for (const int i : few.chosen) moments.push_back(moment_under(study, skies.at[parts.middling.same_in(parts.fast, by_sky.nodes[i])]));
  const PatchLights from(make_lightings(study.job, study.room, study.basis, moments, false, year_left_over));
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
      put_in(row, {e.x, e.y, std::max(0.0, e.n)});
    }
  });
}

/// What one beam of the sun through the windows bounces to every spot.
void tabulate_beam(YearModel::Parts& parts, const BeamRooms& by_beam) {
  parts.beam_bounce = SunTable(parts.beams, 3 * static_cast<int>(parts.spots.size()), {3, 2});
  for_each_index(static_cast<int>(parts.spots.size()), [&](int s) {
    std::size_t i = 0;
    for (const PatchLights& lights : by_beam.lights)
      for (const LightVector& e : lights.at(parts.spots[s].light)) put_in(parts.beam_bounce.at(by_beam.rooms.nodes[i++]) + 3 * s, (1 / unit_beam) * e);
  });
}

void tabulate_sky(YearModel::Parts& parts, const Skies& skies) {
  const int spots = static_cast<int>(parts.spots.size());
  parts.fast_sky = SunTable(parts.fast, 3 * spots);
  for_each_index(static_cast<int>(skies.nodes.size()), [&](int i) {
    const SkyState& sky = skies.at[skies.nodes[i]];
    const kernel::Outside outside = outside_of(sky);
    const std::vector<double> even = even_luminance(*parts.basis, parts.study->room, sky);
    for (int s = 0; s < spots; ++s)
      put_in(parts.fast_sky.at(skies.nodes[i]) + 3 * s, (1 / sky.diffuse_horizontal) * light_from_outside(parts.spots[s].light, outside, even));
  });
}

/// Where the sun stands when it is first asked who sees what, and the sky then.
struct FirstPlace { DaySun::Place sun; SkyState sky; };

/// Over the year, and more closely where it comes in.
std::vector<FirstPlace> first_places(const YearModel::Parts& parts, const Skies& skies) {
  std::vector<FirstPlace> places;
  for (const int node : parts.middling.needed(parts.latitude, lowest_sun)) {
    const DaySun::Place place = parts.middling.place(node);
    if (DaySun::position(parts.latitude, place).altitude >= lowest_sun) places.push_back({place, skies.at[parts.middling.same_in(parts.fast, node)]});
  }
  const std::size_t over_year = places.size();
  for (const int node : parts.beams.needed(parts.latitude, -kernel::sun_radius())) {
    const DaySun::Place place = parts.beams.place(node);
    const SunPosition sun = DaySun::position(parts.latitude, place);
    if (sun.altitude >= -kernel::sun_radius() && SunBeams(parts.study->room, parts.sky_of(parts.now(place)), parts.glazing).any()) places.push_back({place, {}});
  }
  for_each_index(static_cast<int>(places.size() - over_year), [&](int i) {
    FirstPlace& first = places[over_year + static_cast<std::size_t>(i)];
    first.sky = sky_alone(parts, first.sun);
  });
  return places;
}

/// Looks once over all views at some places of the sun and keeps those that matter: of every joint the views within 0.15 of its best
/// somewhere, where they are seen best along their joint; under the sun, which wanders along joints, all anchors within 0.3. The
/// beam's bounce is that of the nearest of a few of its rooms, and the room's sheen is taken as if it were even.
void prune(YearModel::Parts& parts, const Skies& skies, const SkyRooms& by_sky, const BeamRooms& by_beam, std::vector<std::vector<SpotView>>& all) {
  constexpr double near = 0.85, near_in_sun = 0.7;
  const Study& study = *parts.study;
  const std::vector<FirstPlace> places = first_places(parts, skies);
  std::vector<std::vector<LightVector>> of_skies(parts.spots.size()), of_beams(parts.spots.size());
  for_each_index(static_cast<int>(parts.spots.size()), [&](int s) {
    if (!parts.spots[s].anchor) return;
    of_skies[s] = by_sky.at(parts.spots[s].light);
    of_beams[s] = by_beam.of_some.at(parts.spots[s].light);
  });
  std::vector<dvec3> beam_from;
  for (const int i : by_beam.some) beam_from.push_back(direction_of(parts.beams.place(by_beam.rooms.nodes[i])));
  const double least = 0.5 * *study.job.verdict.faint / *study.job.verdict.band;
  // views of all spots in one list, and where each spot's begin
  std::vector<std::size_t> first_view{0};
  for (const auto& views : all) first_view.push_back(first_view.back() + views.size());
  std::vector<SpotView> everyone;
  for (auto& views : all) std::move(views.begin(), views.end(), std::back_inserter(everyone));
  const VisibilityTable visible(units_of(everyone));
  std::vector<std::vector<char>> keep(places.size());
  for_each_index(static_cast<int>(places.size()), [&](int i) {
    const DaySun::Place place = places[i].sun;
    std::size_t beam = 0;
    for (std::size_t r = 1; r < beam_from.size(); ++r)
      if (glm::dot(beam_from[r], direction_of(place)) > glm::dot(beam_from[beam], direction_of(place))) beam = r;
    std::vector<double> of_sky(static_cast<std::size_t>(by_sky.share.width()));
    by_sky.share.mix(parts.middling.stencil(place), 0, by_sky.share.width(), of_sky.data());
    for (double& share : of_sky) share *= places[i].sky.diffuse_horizontal;
    const SunNow now = parts.now(place);
    auto& here = keep[i];
    here.assign(first_view.back(), 0);
    const SkyState& sky = places[i].sky;
    const kernel::Outside outside = outside_of(sky);
    const std::vector<double> even = even_luminance(*parts.basis, study.room, sky);
    const std::vector<NearOutside> outdoors = near_windows(parts, sky);
    const SunBeams beams(study.room, parts.sky_of(now), parts.glazing);
    const SunReach reach(study, parts.surfaces, now.towards);
    const double direct = beams.any() && !beam_from.empty() ? now.direct() / unit_beam : 0;
    std::vector<LightVector> light(all.size()), from_room(all.size());
    for (std::size_t s = 0; s < all.size(); ++s)
      if (parts.spots[s].anchor) {
        LightVector e;
        for (std::size_t k = 0; k < of_sky.size(); ++k) e += of_sky[k] * of_skies[s][k];
        if (direct > 0) e += direct * of_beams[s][beam];
        from_room[s] = {e.x, e.y, std::max(0.0, e.n)};
        light[s] = light_from_outside(parts.spots[s].light, outside, even) + from_room[s];
      }
    std::vector<float> contrast(whole_eights(everyone.size()), 0.0f), adapted(contrast.size(), static_cast<float>(darkest)), v;
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
      for (std::size_t n = first_view[s]; n < first_view[s + 1]; ++n) {
        const SpotView& view = everyone[n];
        SlopeLight l = view.base_of(e);
        for (std::size_t k = 0; k < luminance.size(); ++k) l += luminance[k] * view.glass[k];
        l += view.eye.even_sheen(std::max(0.0, back.n));
        const SlopeAnswer answer = parts.answer(view, l, sun.beam > 0 ? view.eye.sun(now.towards, sun.beam) : SlopeLight{}, sun, 0);
        contrast[n] = static_cast<float>(answer.contrast);
        adapted[n] = std::max(adapted[n], static_cast<float>(answer.luminance));
      }
    }
    visible.find(contrast, adapted, {}, {}, v);
    const auto seen_at = [&](std::size_t s, int viewer) {
      for (std::size_t n = first_view[s]; n < first_view[s + 1]; ++n)
        if (everyone[n].viewer == viewer) return v[n];
      return 0.0f;
    };
    for (std::size_t f = 0; f < parts.surfaces.size(); ++f)
      for (std::size_t j = 0; j < parts.joints[f].size(); ++j) {
        const std::size_t first = static_cast<std::size_t>(parts.first_spot[f][j]), end = static_cast<std::size_t>(parts.first_spot[f][j + 1]);
        float best = 0;
        for (std::size_t n = first_view[first]; n < first_view[end]; ++n) best = std::max(best, v[n]);
        for (std::size_t s = first; s < end; ++s)
          for (std::size_t n = first_view[s]; n < first_view[s + 1]; ++n) {
            const int viewer = everyone[n].viewer;
            const float own = v[n];
            const auto beside = [&](std::size_t other) {
              return other >= first && other < end && parts.spots[other].stretch == parts.spots[s].stretch && in_sun[other] == in_sun[s] ? seen_at(other, viewer) : 0.0f;
            };
            bool wanted = best > 0 && own == best;
            if (!wanted && best > least) {
              wanted = in_sun[s] && parts.spots[s].anchor && own > near_in_sun * best;
              wanted = wanted || (own > near * best && own >= beside(s - 1) && own >= beside(s + 1));
            }
            here[n] = wanted;
          }
      }
  });
  std::vector<std::vector<char>> wanted(all.size());
  for (std::size_t s = 0; s < all.size(); ++s)
    for (std::size_t n = first_view[s]; n < first_view[s + 1]; ++n) {
      all[s][n - first_view[s]] = std::move(everyone[n]);
      wanted[s].push_back(std::any_of(keep.begin(), keep.end(), [&](const auto& here) { return here[n]; }));
    }
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
    const SkyState& sky = skies.at[skies.nodes[i]];
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
      put_in(parts.view_sky.at(skies.nodes[i]), v, parts.views.size(), l);
    }
  });

  parts.view_beam = SunTable(parts.beams, 2 * static_cast<int>(parts.views.size()), {2, 0, true});
  for_each_index(static_cast<int>(by_beam.nodes.size()), [&](int i) {
    for (std::size_t v = 0; v < parts.views.size(); ++v) {
      const float* e = parts.beam_bounce.at(by_beam.nodes[i]) + 3 * parts.views[v].spot;
      SlopeLight l = parts.views[v].base_of({e[0], e[1], e[2]});
      l += mixed(sheen[v], width, few_beams.share[i].data(), few_beams.chosen.size());
      put_in(parts.view_beam.at(by_beam.nodes[i]), v, parts.views.size(), l);
    }
  });
}

void tabulate_veil(YearModel::Parts& parts, const Skies& skies) {
  const Study& study = *parts.study;
  parts.view_veil = SunTable(parts.slow, static_cast<int>(parts.views.size()));
  const std::vector<int> nodes = parts.slow.needed(parts.latitude, lowest_sun);
  for_each_index(static_cast<int>(nodes.size()), [&](int i) {
    Lighting lighting = unlit_room(parts);
    lighting.sky = skies.at[parts.slow.same_in(parts.fast, nodes[i])];
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
  const Skies skies = make_skies(parts);
  const SkyRooms by_sky = light_sky_rooms(parts, skies);
  const BeamRooms by_beam = light_beam_rooms(parts);
  prune(parts, skies, by_sky, by_beam, all);
  tabulate_sky(parts, skies);
  tabulate_bounce(parts, by_sky);
  tabulate_beam(parts, by_beam);
  refine_bounce(parts, skies, by_sky.rooms);
  set_cuts(parts);
  tabulate_views(parts, skies, by_sky.rooms, by_beam.rooms);
  tabulate_veil(parts, skies);
  const std::vector<DaySun::Place> places = far_places(parts);
  std::vector<SkyState> held;
  for (const DaySun::Place place : places) held.push_back(sky_alone(parts, place));
  hold_to_profiles(parts, places, held);
  parts.visible = VisibilityTable(units_of(parts.views));
  for (const SpotView& view : parts.views) parts.spot_of.push_back(view.spot);
}

}  // namespace rakelight
