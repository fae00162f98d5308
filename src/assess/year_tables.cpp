// The tables of a year under one kind of sky. Light is linear in what lies outside the glass and in the brightness of the room,
// and so each view's luminance and its answer to slope are sums of a few shares: parts of the glass, and a few of all the ways in
// which the room is lit. Their sums are tabulated over the sun's place.
#include <algorithm>
#include <cassert>
#include <cmath>

#include "assess/angle.h"
#include "assess/few_of.h"
#include "assess/looks.h"
#include "assess/year_parts.h"
#include "base/units.h"
#include "light/parallel.h"

namespace rakelight {
namespace {

constexpr double least_visibility = 1e-3;
constexpr double unit_beam = 1e5;        // lx, whose bounce is tabulated per lux

/// Imaged length of a joint, degrees; a spot is as long as it is wide.
double imaged_length(const PlacedJoint& joint, const Frame& frame, dvec3 eye, double station) {
  const JointLine& line = joint.line;
  const double half = 0.5 * joint.section.width();
  const dvec2 at = line.from + station * line.along();
  const dvec2 from = line.spots.empty() ? line.from : at - half * line.along(), to = line.spots.empty() ? line.to : at + half * line.along();
  return angle_between(frame.world_from_surface(from), frame.world_from_surface(to), eye) * deg_per_rad;
}

AngularPattern pattern_of(const ContrastProfile& profile, const PlacedJoint& joint, const Frame& frame, dvec3 eye) {
  AngularPattern pattern = angular_pattern(profile, joint.line, frame, eye, degrees_per_sample);
  pattern.length_deg = imaged_length(joint, frame, eye, profile.station);
  return pattern;
}

double luminance_at(std::size_t node) { return first_luminance * std::pow(luminance_step, static_cast<double>(node)); }

/// K at the luminances of the table: the visibility of the joint's slopes as if they were contrasts.
void set_unit_visibility(SpotView& view, const ContrastProfile& slopes, const PlacedJoint& joint, const Frame& frame, dvec3 eye) {
  AngularPattern pattern = pattern_of(slopes, joint, frame, eye);
  for (std::size_t i = 0; i < luminance_nodes; ++i) {
    pattern.luminance = luminance_at(i);
    view.log_unit[i] = static_cast<float>(std::log(std::max(pattern_visibility(pattern, {0, 0, 0, 0}), 1e-9)));
  }
}

/// What K keeps when slopes on one side of an edge stay dark; at a luminance of rooms with sun.
void set_cuts(SpotView& view, const Spot& spot, const ContrastProfile& slopes, const PlacedJoint& joint, const Frame& frame, dvec3 eye) {
  const auto seen = [&](double from, double to) {
    ContrastProfile cut = slopes;
    for (std::size_t i = 0; i < cut.offset.size(); ++i)
      if (cut.offset[i] < from || cut.offset[i] > to) cut.contrast[i] = 0;
    AngularPattern pattern = pattern_of(cut, joint, frame, eye);
    pattern.luminance = luminance_at(4);
    return pattern_visibility(pattern, {0, 0, 0, 0});
  };
  const double whole = seen(spot.lo, spot.hi);
  if (whole <= 0) return;
  for (std::size_t i = 0; i < cut_nodes; ++i) {
    const double at = spot.lo + (spot.hi - spot.lo) * static_cast<double>(i) / (cut_nodes - 1);
    view.left[i] = static_cast<float>(seen(spot.lo, at) / whole);
    view.right[i] = static_cast<float>(seen(at, spot.hi) / whole);
  }
}

Lighting unlit_room(const YearModel::Parts& parts) {
  Lighting dark;
  dark.basis = parts.basis;
  dark.room = &parts.study->room;
  dark.glazing = parts.glazing;
  dark.patch_exitance.assign(patches(*parts.basis).size(), 0.0);
  dark.cell_exitance.assign(16 * dark.patch_exitance.size(), 0.0);
  dark.fields.resize(parts.study->room.surfaces.size());
  // black outside, but lit: windows then stand before the room's light
  dark.sky.dark = false;
  static_cast<Outskirts&>(dark.sky) = parts.around;
  return dark;
}

std::vector<Relief> joints_alone(const YearModel::Parts& parts) {
  std::vector<Relief> reliefs(parts.study->room.surfaces.size());
  for (std::size_t f = 0; f < parts.surfaces.size(); ++f) reliefs[parts.surfaces[f]].joints = parts.joints[f];
  return reliefs;
}

void place_spots(YearModel::Parts& parts) {
  const Study& study = *parts.study;
  for (std::size_t f = 0; f < parts.surfaces.size(); ++f) {
    const int surface = parts.surfaces[f];
    const Frame& frame = study.room.surfaces[surface].frame;
    parts.joints.push_back(finished_relief(study, study.layouts[surface], surface, requested_finish(study, surface)).joints);
    parts.first_spot.emplace_back();
    for (std::size_t j = 0; j < parts.joints[f].size(); ++j) {
      parts.first_spot[f].push_back(static_cast<int>(parts.spots.size()));
      const PlacedJoint& joint = parts.joints[f][j];
      for (const double at : stations_of(joint.line)) {
        Spot s;
        s.face = static_cast<int>(f);
        s.joint = static_cast<int>(j);
        s.station = at;
        s.p = joint.line.from + at * joint.line.along();
        s.lo = joint.section.first;
        s.hi = joint.section.last();
        s.world = frame.world_from_surface(s.p);
        s.across = frame.world_direction({joint.line.across(), 0.0});
        parts.spots.push_back(std::move(s));
      }
    }
    parts.first_spot[f].push_back(static_cast<int>(parts.spots.size()));
  }
}

/// Every view of every spot; prune leaves those that matter.
std::vector<std::vector<SpotView>> all_views(YearModel::Parts& parts) {
  const Study& study = *parts.study;
  const Scene scene = make_scene(study.room, unlit_room(parts), joints_alone(parts), study.paints);
  std::vector<std::vector<SpotView>> views(parts.spots.size());
  for_each_index(static_cast<int>(parts.spots.size()), [&](int i) {
    Spot& s = parts.spots[i];
    const int surface = parts.surfaces[s.face];
    const PlacedJoint& joint = parts.joints[s.face][s.joint];
    const Frame& frame = study.room.surfaces[surface].frame;
    s.light = make_station_light(study.room, *parts.basis, parts.glazing, parts.around, surface, s.p);
    s.glass = glass_shares(scene, surface, s.p);
    const ContrastProfile slopes = slope_profile(scene, surface, joint, s.station);
    for (const int v : viewers_of(study, surface)) {
      const dvec3 eye = study.viewers[v].eye;
      if (!study.room.sees(eye, s.world)) continue;
      SpotView view{i, v, EyeView(scene, surface, s.p, joint.line.across(), eye), {}, {}, {}, {}, {}, {}};
      view.base[2] = view.eye.base({0, 0, 1});
      for (int k = 0; k < 2; ++k) {
        view.base[k] = view.eye.base({k == 0 ? 1.0 : 0.0, k == 1 ? 1.0 : 0.0, 1});
        view.base[k] += -1.0 * view.base[2];
      }
      for (const GlassShare& share : s.glass) view.glass.push_back(view.eye.glass(scene, share));
      set_unit_visibility(view, slopes, joint, frame, eye);
      views[i].push_back(std::move(view));
    }
  });
  return views;
}

Moment moment_under(const Study& study, const SkyState& sky) {
  Moment m;
  m.name = "year";
  m.sky = sky;
  m.lamp_on.assign(study.job.lamps.size(), 0.0);
  return m;
}

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
void store(float* row, const SlopeLight& l) {
  row[0] = static_cast<float>(l.flat);
  row[1] = static_cast<float>(l.change);
}

std::vector<NearOutside> near_windows(const YearModel::Parts& parts, const SkyState& sky) {
  std::vector<NearOutside> all;
  for (std::size_t w = 0; w < parts.study->room.windows.size(); ++w) all.push_back(near_outside(parts.study->room, static_cast<int>(w), sky));
  return all;
}

/// What the room looks like under each node of a grid: the patches' exitances, per lux.
struct Rooms { std::vector<int> nodes; std::vector<std::vector<double>> exitance; };

Rooms tabulate_bounce(YearModel::Parts& parts) {
  const Study& study = *parts.study;
  const int spots = static_cast<int>(parts.spots.size());
  parts.bounce = SunTable(parts.middling, 3 * spots);
  Rooms rooms{parts.middling.needed(parts.latitude, lowest_sun), {}};
  rooms.exitance.resize(rooms.nodes.size());
  for_each_index(static_cast<int>(rooms.nodes.size()), [&](int i) {
    const SkyState sky = sky_alone(parts, parts.middling.place(rooms.nodes[i]));
    const Lighting lighting = make_lighting(study.job, study.room, parts.basis, moment_under(study, sky));
    for (int s = 0; s < spots; ++s)
      store(parts.bounce.at(rooms.nodes[i]) + 3 * s, (1 / sky.diffuse_horizontal) * light_from_patches(parts.spots[s].light, lighting));
    rooms.exitance[i] = lighting.patch_exitance;
    for (double& m : rooms.exitance[i]) m /= sky.diffuse_horizontal;
  });
  return rooms;
}

/// What one beam of the sun through the windows bounces to every spot, per lux of it before the glass.
Rooms tabulate_beam(YearModel::Parts& parts) {
  const Study& study = *parts.study;
  const int spots = static_cast<int>(parts.spots.size());
  parts.beam_bounce = SunTable(parts.beams, 3 * spots);
  Rooms rooms;
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
  rooms.exitance.resize(rooms.nodes.size());
  for_each_index(static_cast<int>(rooms.nodes.size()), [&](int i) {
    const Lighting lighting = make_lighting(study.job, study.room, parts.basis, moment_under(study, skies[i]));
    for (int s = 0; s < spots; ++s)
      store(parts.beam_bounce.at(rooms.nodes[i]) + 3 * s, (1 / unit_beam) * light_from_patches(parts.spots[s].light, lighting));
    rooms.exitance[i] = lighting.patch_exitance;
    for (double& m : rooms.exitance[i]) m /= unit_beam;
  });
  return rooms;
}

void tabulate_sky(YearModel::Parts& parts) {
  const int spots = static_cast<int>(parts.spots.size());
  parts.fast_sky = SunTable(parts.fast, 3 * spots);
  const std::vector<int> nodes = parts.fast.needed(parts.latitude, lowest_sun);
  for_each_index(static_cast<int>(nodes.size()), [&](int i) {
    const SkyState sky = sky_alone(parts, parts.fast.place(nodes[i]));
    const kernel::Outside outside = outside_of(sky);
    const std::vector<double> even = even_luminance(*parts.basis, parts.study->room, sky);
    for (int s = 0; s < spots; ++s)
      store(parts.fast_sky.at(nodes[i]) + 3 * s, (1 / sky.diffuse_horizontal) * light_from_outside(parts.spots[s].light, outside, even));
  });
}

/// Keeps a joint's views that come within a quarter of its best somewhere in the year, the room's sheen taken as if it were even.
void prune(YearModel::Parts& parts, std::vector<std::vector<SpotView>>& all, const std::vector<int>& sky_nodes, const std::vector<int>& beam_nodes) {
  constexpr double near = 0.75;
  std::vector<DaySun::Place> places;
  for (const int node : sky_nodes) places.push_back(parts.middling.place(node));
  for (const int node : beam_nodes) places.push_back(parts.beams.place(node));
  std::vector<std::vector<std::vector<char>>> keep(places.size());
  const double least = 0.5 * *parts.study->job.verdict.faint / *parts.study->job.verdict.band;
  for_each_index(static_cast<int>(places.size()), [&](int i) {
    const SunNow now = parts.now(places[i]);
    auto& here = keep[i];
    here.resize(all.size());
    if (now.sun.altitude < lowest_sun) return;
    const SkyState sky = sky_alone(parts, places[i]);
    const kernel::Outside outside = outside_of(sky);
    const std::vector<NearOutside> outdoors = near_windows(parts, sky);
    const SunBeams beams(parts.study->room, parts.sky_of(now), parts.glazing);
    std::vector<std::vector<double>> v(all.size());
    std::vector<double> luminance;
    for (std::size_t s = 0; s < all.size(); ++s) {
      const Spot& spot = parts.spots[s];
      luminance.clear();
      for (const GlassShare& share : spot.glass) luminance.push_back(luminance_beyond(share, outdoors[share.window], outside));
      const LightVector e = parts.smooth(now, static_cast<int>(s));
      std::array<double, 3> bounced{};
      parts.bounce.mix(now.middling, 3 * static_cast<int>(s), 3, bounced.data());
      const Sunlit lit{beams.any() ? parts.sunlit(now, beams, spot).beam : 0, 0, 0};
      for (const SpotView& view : all[s]) {
        SlopeLight l = view.base_of(e);
        for (std::size_t k = 0; k < luminance.size(); ++k) l += luminance[k] * view.glass[k];
        l += view.eye.even_sheen(std::max(0.0, now.diffuse() * bounced[2]));
        v[s].push_back(parts.visibility(view, l, lit.beam > 0 ? view.eye.sun(now.towards, lit.beam) : SlopeLight{}, lit, 0, 0));
      }
    }
    for (std::size_t f = 0; f < parts.surfaces.size(); ++f)
      for (std::size_t j = 0; j < parts.joints[f].size(); ++j) {
        const int first = parts.first_spot[f][j], end = parts.first_spot[f][j + 1];
        double best = 0;
        for (int s = first; s < end; ++s)
          for (const double x : v[s]) best = std::max(best, x);
        for (int s = first; s < end; ++s) {
          here[s].resize(v[s].size());
          for (std::size_t k = 0; k < v[s].size(); ++k) here[s][k] = best > 0 && (v[s][k] == best || (best > least && v[s][k] > near * best));
        }
      }
  });
  for (std::size_t s = 0; s < all.size(); ++s) {
    Spot& spot = parts.spots[s];
    spot.first_view = static_cast<int>(parts.views.size());
    for (std::size_t k = 0; k < all[s].size(); ++k) {
      const bool wanted = std::any_of(keep.begin(), keep.end(), [&](const auto& here) { return k < here[s].size() && here[s][k]; });
      if (wanted) parts.views.push_back(std::move(all[s][k]));
    }
    spot.views = static_cast<int>(parts.views.size()) - spot.first_view;
  }
}

/// Sheen of every view in each of the chosen rooms, with black windows in it.
std::vector<std::vector<SlopeLight>> sheen_in(const YearModel::Parts& parts, const Rooms& rooms, const FewOf& few) {
  const std::vector<Relief> none(parts.study->room.surfaces.size());
  std::vector<std::vector<SlopeLight>> sheen;
  for (const int which : few.chosen) {
    Lighting lighting = unlit_room(parts);
    lighting.patch_exitance = rooms.exitance[which];
    const Scene scene = make_scene(parts.study->room, lighting, none, parts.study->paints);
    auto& here = sheen.emplace_back(parts.views.size());
    for_each_index(static_cast<int>(parts.views.size()), [&](int v) { here[v] = parts.views[v].eye.sheen(scene); });
  }
  return sheen;
}

SlopeLight mixed(const std::vector<std::vector<SlopeLight>>& sheen, const double* share, std::size_t view) {
  SlopeLight sum;
  for (std::size_t k = 0; k < sheen.size(); ++k) sum += share[k] * sheen[k][view];
  return sum;
}

std::vector<double> patch_areas(const LightBasis& basis) {
  std::vector<double> area;
  for (const Patch& p : patches(basis)) area.push_back(p.area);
  return area;
}

/// Of a room's exitances: how far mixtures of a few rooms may miss it where their sheen is worked out. The beam's patch wanders,
/// and nearer would want a room for nearly every node; what that costs in V is held by the tests of the year's hours.
constexpr double sky_rooms = 0.02, beam_rooms = 0.2;

void tabulate_views_under_sky(YearModel::Parts& parts, const Rooms& rooms) {
  const FewOf few = few_of(rooms.exitance, patch_areas(*parts.basis), sky_rooms);
  const auto sheen = sheen_in(parts, rooms, few);
  const int width = static_cast<int>(few.chosen.size());
  SunTable share(parts.middling, width);
  for (std::size_t i = 0; i < rooms.nodes.size(); ++i) std::copy(few.share[i].begin(), few.share[i].end(), share.at(rooms.nodes[i]));
  parts.view_sky = SunTable(parts.fast, 2 * static_cast<int>(parts.views.size()));
  const std::vector<int> nodes = parts.fast.needed(parts.latitude, lowest_sun);
  for_each_index(static_cast<int>(nodes.size()), [&](int i) {
    const DaySun::Place place = parts.fast.place(nodes[i]);
    const SkyState sky = sky_alone(parts, place);
    const kernel::Outside outside = outside_of(sky);
    const std::vector<NearOutside> outdoors = near_windows(parts, sky);
    const double level = 1 / sky.diffuse_horizontal;
    const SunGrid::Stencil middling = parts.middling.stencil(place);
    std::vector<double> mix(static_cast<std::size_t>(width));
    share.mix(middling, 0, width, mix.data());
    for (std::size_t s = 0; s < parts.spots.size(); ++s) {
      const Spot& spot = parts.spots[s];
      const float* direct = parts.fast_sky.at(nodes[i]) + 3 * s;
      std::array<double, 3> bounced{};
      parts.bounce.mix(middling, 3 * static_cast<int>(s), 3, bounced.data());
      const LightVector e{direct[0] + bounced[0], direct[1] + bounced[1], std::max(0.0, direct[2] + bounced[2])};
      for (int v = spot.first_view; v < spot.first_view + spot.views; ++v) {
        SlopeLight l = parts.views[v].base_of(e);
        l += mixed(sheen, mix.data(), static_cast<std::size_t>(v));
        for (std::size_t k = 0; k < spot.glass.size(); ++k)
          l += (level * luminance_beyond(spot.glass[k], outdoors[spot.glass[k].window], outside)) * parts.views[v].glass[k];
        store(parts.view_sky.at(nodes[i]) + 2 * v, l);
      }
    }
  });
}

void tabulate_views_under_beam(YearModel::Parts& parts, const Rooms& rooms) {
  const FewOf few = few_of(rooms.exitance, patch_areas(*parts.basis), beam_rooms);
  const auto sheen = sheen_in(parts, rooms, few);
  parts.view_beam = SunTable(parts.beams, 2 * static_cast<int>(parts.views.size()));
  for_each_index(static_cast<int>(rooms.nodes.size()), [&](int i) {
    for (std::size_t v = 0; v < parts.views.size(); ++v) {
      const float* e = parts.beam_bounce.at(rooms.nodes[i]) + 3 * parts.views[v].spot;
      SlopeLight l = parts.views[v].base_of({e[0], e[1], e[2]});
      l += mixed(sheen, few.share[i].data(), v);
      store(parts.view_beam.at(rooms.nodes[i]) + 2 * v, l);
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
    for (std::size_t v = 0; v < light.size(); v += 2) sum += std::abs(light[v + 1]) / std::max(light[v], 1e-12);
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

/// Sets log_exact number `which` by the exact profiles of a sky without its sun.
void hold_to_profiles(YearModel::Parts& parts, DaySun::Place place, std::size_t which) {
  const Study& study = *parts.study;
  parts.held.push_back(direction_of(place));
  const SkyState sky = sky_alone(parts, place);
  const Lighting lighting = make_lighting(study.job, study.room, parts.basis, moment_under(study, sky));
  const std::vector<Relief> reliefs = joints_alone(parts);
  const Scene scene = make_scene(study.room, lighting, reliefs, study.paints);
  std::vector<std::vector<GlareSource>> glare;
  for (const Viewer& v : study.viewers) glare.push_back(glare_sources(lighting, v.eye));
  std::vector<double> light(2 * parts.views.size());
  parts.view_sky.mix(parts.fast.stencil(place), 0, static_cast<int>(light.size()), light.data());
  for_each_index(static_cast<int>(parts.spots.size()), [&](int i) {
    const Spot& s = parts.spots[i];
    if (s.views == 0) return;
    const int surface = parts.surfaces[s.face];
    const PlacedJoint& joint = parts.joints[s.face][s.joint];
    const Frame& frame = study.room.surfaces[surface].frame;
    std::vector<dvec3> eyes;
    for (int v = s.first_view; v < s.first_view + s.views; ++v) eyes.push_back(study.viewers[parts.views[v].viewer].eye);
    const auto profiles = contrast_across(scene, lighting, study.room, surface, reliefs[surface], s.joint, {s.station}, eyes);
    for (int k = 0; k < s.views; ++k) {
      if (profiles[k].empty()) continue;
      const ContrastProfile& profile = profiles[k][0];
      const int v = s.first_view + k;
      SpotView& view = parts.views[v];
      const double veil = veil_at(glare[view.viewer], eyes[k], profile.at, *study.job.verdict.age);
      AngularPattern pattern = pattern_of(profile, joint, frame, eyes[k]);
      pattern.grain = grain_of(study.paints[surface], profile, joint.line, frame, eyes[k]);
      pattern.luminance = profile.flat_luminance + veil;
      pattern.share = profile.flat_luminance / pattern.luminance;
      const SlopeLight l{sky.diffuse_horizontal * light[2 * v], sky.diffuse_horizontal * light[2 * v + 1]};
      const double exact = *study.job.verdict.gain * pattern_visibility(pattern, {0, 0, 0, 0}), first = parts.visibility(view, l, {}, {}, veil, 0);
      if (exact > least_visibility && first > least_visibility) view.log_exact[which] = static_cast<float>(std::clamp(std::log(exact / first), -0.9, 0.9));
    }
  });
}

void set_all_cuts(YearModel::Parts& parts) {
  const Study& study = *parts.study;
  const Scene scene = make_scene(study.room, unlit_room(parts), joints_alone(parts), study.paints);
  for_each_index(static_cast<int>(parts.spots.size()), [&](int i) {
    const Spot& s = parts.spots[i];
    if (s.views == 0) return;
    const int surface = parts.surfaces[s.face];
    const PlacedJoint& joint = parts.joints[s.face][s.joint];
    const ContrastProfile slopes = slope_profile(scene, surface, joint, s.station);
    for (int v = s.first_view; v < s.first_view + s.views; ++v)
      set_cuts(parts.views[v], s, slopes, joint, study.room.surfaces[surface].frame, study.viewers[parts.views[v].viewer].eye);
  });
}

}  // namespace

void make_year_tables(YearModel::Parts& parts) {
  place_spots(parts);
  std::vector<std::vector<SpotView>> all = all_views(parts);
  tabulate_sky(parts);
  const Rooms by_sky = tabulate_bounce(parts), by_beam = tabulate_beam(parts);
  prune(parts, all, by_sky.nodes, by_beam.nodes);
  set_all_cuts(parts);
  tabulate_views_under_sky(parts, by_sky);
  tabulate_views_under_beam(parts, by_beam);
  tabulate_veil(parts);
  const std::vector<DaySun::Place> places = far_places(parts);
  for (std::size_t i = 0; i < places.size(); ++i) hold_to_profiles(parts, places[i], i);
}

}  // namespace rakelight
