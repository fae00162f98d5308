// Where a year looks at joints, by which eyes, and what belongs to each such view for good: how visible slopes are there.
#include <algorithm>
#include <cmath>
#include <tuple>

#include "assess/angle.h"
#include "assess/looks.h"
#include "assess/search.h"
#include "assess/year_parts.h"
#include "base/units.h"
#include "light/many.h"
#include "light/parallel.h"

namespace rakelight {
namespace {

constexpr double least_visibility = 1e-3;
constexpr double pitch = 0.05, same_place = 0.02;  // m
constexpr double most_stations = 1600;             // in a job of long joints
constexpr int anchor_every = 5;                    // stations
constexpr double anchor_reach = 0.2;               // m

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
    view.unit.log_unit[i] = static_cast<float>(std::log(std::max(pattern_visibility(pattern, {0, 0, 0, 0}), 1e-9)));
  }
}

/// What K keeps when slopes on one side of an edge stay dark; at a luminance of rooms with sun.
void set_cuts_of(SpotView& view, const Spot& spot, const ContrastProfile& slopes, const PlacedJoint& joint, const Frame& frame, dvec3 eye) {
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

/// Of fixings filled one by one some a pitch apart; else from end to end of every stretch, with something between.
std::vector<std::vector<double>> stations_on(const std::vector<Stretch>& stretches, bool spots, double apart) {
  std::vector<std::vector<double>> stations;
  for (const auto& [from, to] : stretches) {
    if (spots && !stations.empty() && from - stations.back()[0] < apart) continue;
    std::vector<double>& here = stations.emplace_back();
    const int steps = to - from < same_place ? 0 : std::max(2, static_cast<int>(std::ceil((to - from) / apart - 1e-9)));
    if (steps == 0) here.push_back(0.5 * (from + to));
    for (int i = 0; steps > 0 && i <= steps; ++i) here.push_back(from + (to - from) * i / steps);
  }
  return stations;
}

/// Numbers between two anchors' in proportion.
template <std::size_t count>
std::array<float, count> between(const std::array<float, count>& before, const std::array<float, count>& after, double share) {
  const float t = static_cast<float>(share);
  std::array<float, count> found;
  for (std::size_t i = 0; i < count; ++i) found[i] = (1 - t) * before[i] + t * after[i];
  return found;
}

bool neighbours(const YearModel::Parts& parts, int a, int b) {
  return parts.spots[a].face == parts.spots[b].face && parts.spots[a].joint == parts.spots[b].joint && parts.spots[a].stretch == parts.spots[b].stretch;
}

}  // namespace

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

Moment moment_under(const Study& study, const SkyState& sky) {
  Moment m;
  m.name = "year";
  m.sky = sky;
  m.lamp_on.assign(study.job.lamps.size(), 0.0);
  return m;
}

void place_spots(YearModel::Parts& parts) {
  const Study& study = *parts.study;
  double length = 0;
  parts.joints.resize(parts.surfaces.size());
  for_each_index(static_cast<int>(parts.surfaces.size()), [&](int f) {
    const int surface = parts.surfaces[f];
    parts.joints[f] = finished_relief(study, study.layouts[surface], surface, requested_finish(study, surface)).joints;
  });
  for (const auto& joints : parts.joints)
    for (const PlacedJoint& joint : joints) length += joint.line.length();
  const double apart = std::max(pitch, length / most_stations);
  for (std::size_t f = 0; f < parts.surfaces.size(); ++f) {
    const Frame& frame = study.room.surfaces[parts.surfaces[f]].frame;
    Relief relief;
    relief.joints = parts.joints[f];
    parts.first_spot.emplace_back();
    for (std::size_t j = 0; j < parts.joints[f].size(); ++j) {
      parts.first_spot[f].push_back(static_cast<int>(parts.spots.size()));
      const PlacedJoint& joint = parts.joints[f][j];
      const auto stretches = stations_on(clear_stretches(relief, static_cast<int>(j)), !joint.line.spots.empty(), apart);
      for (std::size_t k = 0; k < stretches.size(); ++k)
        for (std::size_t i = 0; i < stretches[k].size(); ++i) {
          Spot s;
          s.face = static_cast<int>(f);
          s.joint = static_cast<int>(j);
          s.station = stretches[k][i];
          s.stretch = static_cast<int>(k);
          s.anchor = i % anchor_every == 0 || i + 1 == stretches[k].size();
          const int here = static_cast<int>(parts.spots.size());
          s.before = s.anchor ? here : here - static_cast<int>(i % anchor_every);
          s.after = s.anchor ? here : here + std::min(anchor_every - static_cast<int>(i % anchor_every), static_cast<int>(stretches[k].size() - 1 - i));
          s.p = joint.line.from + s.station * joint.line.along();
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

std::vector<std::vector<SpotView>> all_views(YearModel::Parts& parts) {
  const Study& study = *parts.study;
  const Scene scene = make_scene(study.room, unlit_room(parts), joints_alone(parts), study.paints);
  std::vector<std::vector<SpotView>> views(parts.spots.size());
  for_each_index(static_cast<int>(parts.spots.size()), [&](int i) {
    Spot& s = parts.spots[i];
    const int surface = parts.surfaces[s.face];
    const PlacedJoint& joint = parts.joints[s.face][s.joint];
    const Frame& frame = study.room.surfaces[surface].frame;
    if (s.anchor) s.light = make_station_light(study.room, *parts.basis, parts.glazing, parts.around, surface, s.p);
    s.glass = glass_shares(scene, surface, s.p);
    ContrastProfile slopes;
    if (s.anchor) slopes = slope_profile(scene, surface, joint, s.station);
    for (const int v : viewers_of(study, surface)) {
      const dvec3 eye = study.viewers[v].eye;
      if (!study.room.sees(eye, s.world)) continue;
      SpotView view{i, v, EyeView(scene, surface, s.p, joint.line.across(), eye), {}, {}, {}, {}, {}};
      view.base[2] = view.eye.base({0, 0, 1});
      for (int k = 0; k < 2; ++k) {
        view.base[k] = view.eye.base({k == 0 ? 1.0 : 0.0, k == 1 ? 1.0 : 0.0, 1});
        view.base[k] += -1.0 * view.base[2];
      }
      for (const GlassShare& share : s.glass) view.glass.push_back(view.eye.glass(scene, share));
      if (s.anchor) set_unit_visibility(view, slopes, joint, frame, eye);
      views[i].push_back(std::move(view));
    }
  });
  // between anchors in proportion
  const auto find = [&](std::size_t spot, int viewer) -> const SpotView* {
    for (const SpotView& v : views[spot])
      if (v.viewer == viewer) return &v;
    return nullptr;
  };
  for_each_index(static_cast<int>(parts.spots.size()), [&](int i) {
    const Spot& s = parts.spots[i];
    if (s.anchor) return;
    for (SpotView& view : views[i]) {
      const SpotView *before = find(static_cast<std::size_t>(s.before), view.viewer), *after = find(static_cast<std::size_t>(s.after), view.viewer);
      if (before || after) {
        view.unit.log_unit = between((before ? before : after)->unit.log_unit, (after ? after : before)->unit.log_unit, parts.share_after(s));
        continue;
      }
      const int surface = parts.surfaces[s.face];
      const PlacedJoint& joint = parts.joints[s.face][s.joint];
      set_unit_visibility(view, slope_profile(scene, surface, joint, s.station), joint, study.room.surfaces[surface].frame, study.viewers[view.viewer].eye);
    }
  });
  return views;
}

void keep_views(YearModel::Parts& parts, std::vector<std::vector<SpotView>>& all, const std::vector<std::vector<char>>& keep) {
  const Study& study = *parts.study;
  const auto kept = [&](int spot, int viewer) {
    for (std::size_t k = 0; k < all[spot].size(); ++k)
      if (all[spot][k].viewer == viewer) return keep[spot][k] != 0;
    return false;
  };
  const int count = static_cast<int>(parts.spots.size());
  std::vector<int> now(parts.spots.size(), -1);  // among those kept
  std::vector<Spot> spots;
  std::vector<std::vector<int>> first_spot;
  for (std::size_t f = 0; f < parts.surfaces.size(); ++f) {
    first_spot.emplace_back();
    auto& stations = parts.stations.emplace_back();
    for (std::size_t j = 0; j < parts.joints[f].size(); ++j) {
      const std::vector<int> viewers = viewers_of(study, parts.surfaces[f]);
      const auto wanted = [&](int s, int viewer) {
        return kept(s, viewer) || (s > 0 && neighbours(parts, s - 1, s) && kept(s - 1, viewer)) || (s + 1 < count && neighbours(parts, s, s + 1) && kept(s + 1, viewer));
      };
      first_spot[f].push_back(static_cast<int>(spots.size()));
      auto& along = stations.emplace_back();
      for (int s = parts.first_spot[f][j]; s < parts.first_spot[f][j + 1]; ++s) {
        const bool seen = std::any_of(viewers.begin(), viewers.end(), [&](int v) { return wanted(s, v); });
        if (!seen) continue;
        now[s] = static_cast<int>(spots.size());
        along.push_back(parts.spots[s].station);
        spots.push_back(std::move(parts.spots[s]));
        spots.back().order = s;
      }
      for (const int viewer : viewers) {
        ViewRow row{static_cast<int>(f), static_cast<int>(j), viewer, static_cast<int>(parts.views.size()), 0};
        for (int s = parts.first_spot[f][j]; s < parts.first_spot[f][j + 1]; ++s)
          for (SpotView& view : all[s])
            if (view.viewer == viewer && wanted(s, viewer)) {
              parts.views.push_back(std::move(view));
              parts.views.back().spot = now[s];
              ++row.count;
            }
        if (row.count > 0) parts.rows.push_back(row);
      }
    }
    first_spot[f].push_back(static_cast<int>(spots.size()));
  }
  // (joint by joint, eyes that see more of one first)
  std::stable_sort(parts.rows.begin(), parts.rows.end(), [](const ViewRow& a, const ViewRow& b) {
    return std::tuple(a.face, a.joint, -a.count) < std::tuple(b.face, b.joint, -b.count);
  });
  parts.spots = std::move(spots);
  parts.first_spot = std::move(first_spot);
  for_each_index(static_cast<int>(parts.spots.size()), [&](int i) {
    Spot& s = parts.spots[i];
    if (s.light.surface < 0) s.light = make_station_light(study.room, *parts.basis, parts.glazing, parts.around, parts.surfaces[s.face], s.p);
  });
  // anchors among what is left: the first of a row's views, and whenever the last is too far behind
  parts.anchor.assign(parts.views.size(), {});
  for (const ViewRow& row : parts.rows) {
    const auto spot = [&](int v) -> const Spot& { return parts.spots[parts.views[v].spot]; };
    int last = -1;
    std::vector<int> own;
    for (int v = row.first; v < row.first + row.count; ++v) {
      if (last < 0 || spot(v).stretch != spot(last).stretch || spot(v).station - spot(last).station > anchor_reach) own.push_back(last = v);
      parts.anchor[v].before = parts.anchor[v].after = last;
    }
    for (std::size_t i = 0; i + 1 < own.size(); ++i) {
      const Spot &from = spot(own[i]), &to = spot(own[i + 1]);
      if (from.stretch != to.stretch || to.station - from.station > 2 * anchor_reach) continue;
      for (int v = own[i] + 1; v < own[i + 1]; ++v) {
        parts.anchor[v].after = own[i + 1];
        parts.anchor[v].share = (spot(v).station - from.station) / (to.station - from.station);
      }
    }
  }
}

void set_cuts(YearModel::Parts& parts) {
  const Study& study = *parts.study;
  const Scene scene = make_scene(study.room, unlit_room(parts), joints_alone(parts), study.paints);
  // the sun stands over the horizon or nearly so: a face that looks down never has its edge on it
  const auto ever_lit = [&](const Spot& s) { return study.room.surfaces[parts.surfaces[s.face]].frame.n.z > -0.99; };
  for_each_index(static_cast<int>(parts.views.size()), [&](int v) {
    SpotView& view = parts.views[v];
    const Spot& s = parts.spots[view.spot];
    if (!parts.anchor[v].own(v) || !ever_lit(s)) return;
    const int surface = parts.surfaces[s.face];
    const PlacedJoint& joint = parts.joints[s.face][s.joint];
    set_cuts_of(view, s, slope_profile(scene, surface, joint, s.station), joint, study.room.surfaces[surface].frame, study.viewers[view.viewer].eye);
  });
  for (int v = 0; v < static_cast<int>(parts.views.size()); ++v) {
    const ViewAnchor& at = parts.anchor[v];
    if (at.own(v)) continue;
    parts.views[v].left = between(parts.views[at.before].left, parts.views[at.after].left, at.share);
    parts.views[v].right = between(parts.views[at.before].right, parts.views[at.after].right, at.share);
  }
}

void hold_to_profiles(YearModel::Parts& parts, const std::vector<DaySun::Place>& places, const std::vector<SkyState>& skies) {
  const Study& study = *parts.study;
  std::vector<Moment> moments;
  for (std::size_t m = 0; m < places.size(); ++m) {
    parts.held.push_back(direction_of(places[m]));
    moments.push_back(moment_under(study, skies[m]));
  }
  const std::vector<Lighting> lightings = make_lightings(study.job, study.room, parts.basis, moments);
  const std::vector<Relief> reliefs = joints_alone(parts);
  std::vector<Scene> scenes(places.size());
  for_each_index(static_cast<int>(places.size()), [&](int m) { scenes[m] = make_scene(study.room, lightings[m], reliefs, study.paints); });
  std::vector<const Scene*> scene;
  std::vector<const Lighting*> lighting;
  std::vector<std::vector<std::vector<GlareSource>>> glare(places.size());     // [moment][viewer]
  std::vector<std::vector<double>> light(places.size(), std::vector<double>(2 * parts.views.size()));
  for (std::size_t m = 0; m < places.size(); ++m) {
    scene.push_back(&scenes[m]);
    lighting.push_back(&lightings[m]);
    for (const Viewer& v : study.viewers) glare[m].push_back(glare_sources(lightings[m], v.eye));
    parts.view_sky.mix(parts.fast.stencil(places[m]), 0, static_cast<int>(light[m].size()), light[m].data());
  }
  if (places.empty()) return;
  const SceneSet set(std::move(scene), std::move(lighting));
  std::vector<std::vector<int>> own(parts.spots.size());  // views
  for (int v = 0; v < static_cast<int>(parts.views.size()); ++v)
    if (parts.anchor[v].own(v)) own[parts.views[v].spot].push_back(v);
  for_each_index(static_cast<int>(parts.spots.size()), [&](int i) {
    const Spot& s = parts.spots[i];
    if (own[i].empty()) return;
    const int surface = parts.surfaces[s.face];
    const PlacedJoint& joint = parts.joints[s.face][s.joint];
    const Frame& frame = study.room.surfaces[surface].frame;
    // every moment by every eye, in that order
    std::vector<LookWanted> wanted;
    for (std::size_t m = 0; m < places.size(); ++m)
      for (const int v : own[i]) wanted.push_back({m, study.viewers[parts.views[v].viewer].eye, {s.station}});
    JointLooks looks(set, study.room, surface, reliefs[surface], s.joint, wanted);
    for (std::size_t k = 0; k < looks.stations(); ++k) looks.prepare(k);
    for (std::size_t e = 0; e < looks.eyes(); ++e) {
      const auto profiles = looks.look_from(e);
      for (std::size_t l = 0; l < profiles.size(); ++l) {
        if (profiles[l].empty()) continue;
        const std::size_t which = looks.looks_of(e)[l], m = which / own[i].size();
        const int v = own[i][which % own[i].size()];
        const ContrastProfile& profile = profiles[l][0];
        SpotView& view = parts.views[v];
        const dvec3 eye = wanted[which].eye;
        const double veil = veil_at(glare[m][view.viewer], eye, profile.at, *study.job.verdict.age);
        AngularPattern pattern = pattern_of(profile, joint, frame, eye);
        pattern.grain = grain_of(study.paints[surface], profile, joint.line, frame, eye);
        pattern.luminance = profile.flat_luminance + veil;
        pattern.share = profile.flat_luminance / pattern.luminance;
        const SlopeLight smooth{skies[m].diffuse_horizontal * light[m][v], skies[m].diffuse_horizontal * light[m][parts.views.size() + v]};
        const double exact = *study.job.verdict.gain * pattern_visibility(pattern, {0, 0, 0, 0}), first = visibility_of(view.unit, parts.answer(view, smooth, {}, {}, veil));
        if (exact > least_visibility && first > least_visibility) view.unit.log_exact[m] = static_cast<float>(std::clamp(std::log(exact / first), -0.9, 0.9));
      }
    }
  });
  for (int v = 0; v < static_cast<int>(parts.views.size()); ++v) {
    const ViewAnchor& at = parts.anchor[v];
    if (!at.own(v)) parts.views[v].unit.log_exact = between(parts.views[at.before].unit.log_exact, parts.views[at.after].unit.log_exact, at.share);
  }
}

}  // namespace rakelight
