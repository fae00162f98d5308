// The tables of a year under one kind of sky, and what they say at one place of the sun.
#include <algorithm>
#include <array>
#include <cassert>
#include <cmath>

#include "assess/angle.h"
#include "assess/looks.h"
#include "assess/year_parts.h"
#include "base/units.h"
#include "light/parallel.h"

namespace rakelight {
namespace {

constexpr double darkest = 1e-4;         // cd/m², as in assess
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

/// K at the luminances of the table: the visibility of the joint's slopes as if they were contrasts.
std::array<float, luminance_nodes> unit_visibility(const ContrastProfile& slopes, const PlacedJoint& joint, const Frame& frame, dvec3 eye) {
  AngularPattern pattern = angular_pattern(slopes, joint.line, frame, eye, degrees_per_sample);
  pattern.length_deg = imaged_length(joint, frame, eye, slopes.station);
  std::array<float, luminance_nodes> out{};
  for (std::size_t i = 0; i < luminance_nodes; ++i) {
    pattern.luminance = first_luminance * std::pow(luminance_step, static_cast<double>(i));
    out[i] = static_cast<float>(std::log(std::max(pattern_visibility(pattern, {0, 0, 0, 0}), 1e-9)));
  }
  return out;
}

double log_unit(const std::array<float, luminance_nodes>& k, double luminance) {
  static const double per_node = 1 / std::log(luminance_step);
  const double octaves = std::log(luminance / first_luminance);
  // below the filter's range V goes as the square root of luminance, as in sight
  if (octaves < 0) return k[0] + 0.5 * octaves;
  const double at = std::min(octaves * per_node, luminance_nodes - 1.0);
  const std::size_t i = std::min(static_cast<std::size_t>(at), luminance_nodes - 2);
  const double t = at - static_cast<double>(i);
  return (1 - t) * k[i] + t * k[i + 1];
}

void make_spots(const Study& study, YearModel::Parts& parts, const LightBasis& basis, const std::vector<Glazing>& glazing) {
  const double skyline = std::max(0.0, *study.job.site.skyline);
  // a scene of its own per face serves for frames, coats and relief alone
  std::vector<Relief> reliefs(study.room.surfaces.size());
  for (std::size_t f = 0; f < parts.surfaces.size(); ++f) {
    const int surface = parts.surfaces[f];
    const Finish finish = requested_finish(study, surface);
    reliefs[surface] = finished_relief(study, study.layouts[surface], surface, finish);
    parts.joints.push_back(reliefs[surface].joints);
  }
  Lighting dark;
  dark.basis = parts.basis;
  dark.room = &study.room;
  dark.glazing = glazing;
  dark.patch_exitance.assign(patches(basis).size(), 0.0);
  dark.fields.resize(study.room.surfaces.size());
  const Scene scene = make_scene(study.room, dark, reliefs, study.paints);
  for (std::size_t f = 0; f < parts.surfaces.size(); ++f) {
    const int surface = parts.surfaces[f];
    const Frame& frame = study.room.surfaces[surface].frame;
    parts.first_spot.emplace_back();
    for (std::size_t j = 0; j < parts.joints[f].size(); ++j) {
      parts.first_spot[f].push_back(static_cast<int>(parts.spots.size()));
      const JointLine& line = parts.joints[f][j].line;
      for (const double at : stations_of(line)) {
        Spot s;
        s.face = static_cast<int>(f);
        s.joint = static_cast<int>(j);
        s.station = at;
        s.p = line.from + at * line.along();
        s.world = frame.world_from_surface(s.p);
        parts.spots.push_back(std::move(s));
      }
    }
    parts.first_spot[f].push_back(static_cast<int>(parts.spots.size()));
  }
  for_each_index(static_cast<int>(parts.spots.size()), [&](int i) {
    Spot& s = parts.spots[i];
    const int surface = parts.surfaces[s.face];
    const PlacedJoint& joint = parts.joints[s.face][s.joint];
    const Frame& frame = study.room.surfaces[surface].frame;
    s.light = make_station_light(study.room, basis, glazing, skyline, surface, s.p);
    const ContrastProfile slopes = slope_profile(scene, surface, joint, s.station);
    for (const int v : viewers_of(study, surface)) {
      const dvec3 eye = study.viewers[v].eye;
      if (!study.room.sees(eye, s.world)) continue;
      s.views.push_back({v, EyeView(scene, surface, s.p, joint.line.across(), eye), unit_visibility(slopes, joint, frame, eye)});
    }
  });
  int view = 0;
  for (Spot& s : parts.spots) {
    s.first_view = view;
    view += static_cast<int>(s.views.size());
  }
  parts.views = view;
}

Moment moment_under(const Study& study, const SkyState& sky) {
  Moment m;
  m.name = "year";
  m.sky = sky;
  m.lamp_on.assign(study.job.lamps.size(), false);
  return m;
}

/// The sky above with the sun at a node; under −17° as at −17°, where it is as dark as it gets.
SkyState node_sky(const YearModel::Parts& parts, DaySun::Place place) {
  SunPosition sun = DaySun::position(parts.latitude, place);
  if (sun.altitude < -17 * rad_per_deg) sun.altitude = sun.apparent_altitude = -17 * rad_per_deg;
  return make_sky(parts.site, sun, parts.sky_type);
}

void tabulate_slow(const Study& study, YearModel::Parts& parts) {
  const int spots = static_cast<int>(parts.spots.size());
  parts.slow_views = SunTable(parts.slow, 3 * parts.views);
  std::vector<Relief> none(study.room.surfaces.size());
  for (const int node : parts.slow.needed(parts.latitude, lowest_sun)) {
    SkyState sky = node_sky(parts, parts.slow.place(node));
    sky.sun_up = false;
    sky.direct_normal = 0;
    const Lighting lighting = make_lighting(study.job, study.room, parts.basis, moment_under(study, sky));
    const Scene scene = make_scene(study.room, lighting, none, study.paints);
    std::vector<std::vector<GlareSource>> glare;
    for (const Viewer& v : study.viewers) glare.push_back(glare_sources(lighting, v.eye));
    const double level = 1 / sky.diffuse_horizontal;
    for_each_index(spots, [&](int i) {
      const Spot& s = parts.spots[i];
      for (std::size_t v = 0; v < s.views.size(); ++v) {
        const SlopeLight sheen = s.views[v].eye.sheen(scene);
        float* view = parts.slow_views.at(node) + 3 * (s.first_view + static_cast<int>(v));
        view[0] = static_cast<float>(level * sheen.flat);
        view[1] = static_cast<float>(level * sheen.change);
        const int viewer = s.views[v].viewer;
        view[2] = static_cast<float>(level * veil_at(glare[viewer], study.viewers[viewer].eye, s.world, *study.job.verdict.age));
      }
    });
  }
}

void tabulate_bounce(const Study& study, YearModel::Parts& parts) {
  const int spots = static_cast<int>(parts.spots.size());
  parts.bounce = SunTable(parts.middling, 3 * spots);
  const std::vector<int> nodes = parts.middling.needed(parts.latitude, lowest_sun);
  for_each_index(static_cast<int>(nodes.size()), [&](int i) {
    const int node = nodes[i];
    SkyState sky = node_sky(parts, parts.middling.place(node));
    sky.sun_up = false;
    sky.direct_normal = 0;
    const Lighting lighting = make_lighting(study.job, study.room, parts.basis, moment_under(study, sky));
    for (int s = 0; s < spots; ++s) {
      const LightVector e = (1 / sky.diffuse_horizontal) * light_from_patches(parts.spots[s].light, lighting);
      float* row = parts.bounce.at(node) + 3 * s;
      row[0] = static_cast<float>(e.x);
      row[1] = static_cast<float>(e.y);
      row[2] = static_cast<float>(e.n);
    }
  });
}

SpotView uncorrected(SpotView view) {
  view.log_exact = {};
  return view;
}

/// Where smooth light rakes least, and where most, over all views.
std::array<DaySun::Place, 2> extreme_places(const YearModel::Parts& parts) {
  std::array<DaySun::Place, 2> at{};
  double least = 1e300, most = -1;
  for (const int node : parts.middling.needed(parts.latitude, -4 * rad_per_deg)) {
    const DaySun::Place place = parts.middling.place(node);
    if (DaySun::position(parts.latitude, place).altitude < -4 * rad_per_deg) continue;
    SunNow now = parts.now(place);
    now.eye_beam.assign(parts.study->viewers.size(), 0.0);
    // the sky alone: what the sun bounces comes and goes
    now.over_skyline = 0;
    double sum = 0;
    for (std::size_t s = 0; s < parts.spots.size(); ++s) {
      std::array<SlopeLight, most_viewers> light;
      std::array<double, most_viewers> veil{};
      parts.smooth_views(now, static_cast<int>(s), light.data(), veil.data());
      for (std::size_t v = 0; v < std::min<std::size_t>(parts.spots[s].views.size(), most_viewers); ++v)
        if (light[v].flat > darkest) sum += std::abs(light[v].change) / light[v].flat;
    }
    if (sum < least) at[0] = place;
    if (sum > most) at[1] = place;
    least = std::min(least, sum);
    most = std::max(most, sum);
  }
  return at;
}

/// Sets ratio and log_exact number `which` by the exact profiles of a sky without its sun.
void hold_to_profiles(const Study& study, YearModel::Parts& parts, DaySun::Place place, std::size_t which) {
  SkyState sky = node_sky(parts, place);
  sky.sun_up = false;
  sky.direct_normal = 0;
  const Lighting lighting = make_lighting(study.job, study.room, parts.basis, moment_under(study, sky));
  std::vector<Relief> reliefs(study.room.surfaces.size());
  for (std::size_t f = 0; f < parts.surfaces.size(); ++f) reliefs[parts.surfaces[f]].joints = parts.joints[f];
  const Scene scene = make_scene(study.room, lighting, reliefs, study.paints);
  std::vector<std::vector<GlareSource>> glare;
  for (const Viewer& v : study.viewers) glare.push_back(glare_sources(lighting, v.eye));
  for_each_index(static_cast<int>(parts.spots.size()), [&](int i) {
    Spot& s = parts.spots[i];
    if (s.views.empty()) return;
    const int surface = parts.surfaces[s.face];
    const PlacedJoint& joint = parts.joints[s.face][s.joint];
    const Frame& frame = study.room.surfaces[surface].frame;
    std::vector<dvec3> eyes;
    for (const SpotView& v : s.views) eyes.push_back(study.viewers[v.viewer].eye);
    const auto profiles = contrast_across(scene, lighting, study.room, surface, reliefs[surface], s.joint, {s.station}, eyes);
    const LightVector light = smooth_light(lighting, surface, s.p).e;
    for (std::size_t v = 0; v < s.views.size(); ++v) {
      if (profiles[v].empty()) continue;
      const ContrastProfile& profile = profiles[v][0];
      const double veil = veil_at(glare[s.views[v].viewer], eyes[v], profile.at, *study.job.verdict.age);
      AngularPattern pattern = angular_pattern(profile, joint.line, frame, eyes[v], degrees_per_sample);
      pattern.luminance = profile.flat_luminance + veil;
      pattern.share = profile.flat_luminance / pattern.luminance;
      pattern.length_deg = imaged_length(joint, frame, eyes[v], s.station);
      SlopeLight l = s.views[v].eye.base(light);
      l += s.views[v].eye.sheen(scene);
      const double exact = *study.job.verdict.gain * pattern_visibility(pattern, {0, 0, 0, 0}), first = parts.visibility(uncorrected(s.views[v]), l, {}, veil);
      SpotView& view = s.views[v];
      view.ratio[which] = static_cast<float>(std::log(std::max(std::abs(l.change) / std::max(l.flat, darkest), 1e-6)));
      if (exact > least_visibility && first > least_visibility) view.log_exact[which] = static_cast<float>(std::clamp(std::log(exact / first), -0.9, 0.9));
    }
  });
}

/// What one beam of the sun through the windows bounces to every spot, per lux of it before the glass.
void tabulate_beam(const Study& study, YearModel::Parts& parts) {
  const int spots = static_cast<int>(parts.spots.size());
  parts.beam_bounce = SunTable(parts.beams, 3 * spots);
  const std::vector<int> nodes = parts.beams.needed(parts.latitude, 0);
  for_each_index(static_cast<int>(nodes.size()), [&](int i) {
    const int node = nodes[i];
    const SunPosition sun = DaySun::position(parts.latitude, parts.beams.place(node));
    SkyState sky = sky_with_sun(parts.site, sun);
    // the skyline cuts the beam at the step; nodes under it still bound what lies above
    sky.skyline = -1;
    bool enters = false;
    for (const Window& w : study.room.windows)
      enters = enters || glm::dot(sky.sun_direction, study.room.surfaces[w.surface].frame.n) < 0;
    if (!enters || sky.sun_direction.z < -0.1) return;
    sky.dark = false;
    sky.sun_up = true;
    sky.direct_normal = unit_beam;
    const Lighting lighting = make_lighting(study.job, study.room, parts.basis, moment_under(study, sky));
    for (int s = 0; s < spots; ++s) {
      const LightVector e = light_from_patches(parts.spots[s].light, lighting);
      float* row = parts.beam_bounce.at(node) + 3 * s;
      row[0] = static_cast<float>(e.x / unit_beam);
      row[1] = static_cast<float>(e.y / unit_beam);
      row[2] = static_cast<float>(e.n / unit_beam);
    }
  });
}

void tabulate_fast(YearModel::Parts& parts) {
  const int spots = static_cast<int>(parts.spots.size());
  parts.fast_sky = SunTable(parts.fast, 3 * spots);
  const std::vector<int> nodes = parts.fast.needed(parts.latitude, lowest_sun);
  for_each_index(static_cast<int>(nodes.size()), [&](int i) {
    const int node = nodes[i];
    const DaySun::Place place = parts.fast.place(node);
    const SkyState sky = node_sky(parts, place);
    const kernel::Outside outside = outside_of(sky);
    const double level = 1 / sky.diffuse_horizontal;
    for (int s = 0; s < spots; ++s) {
      const LightVector e = light_from_outside(parts.spots[s].light, outside);
      float* row = parts.fast_sky.at(node) + 3 * s;
      row[0] = static_cast<float>(level * e.x);
      row[1] = static_cast<float>(level * e.y);
      row[2] = static_cast<float>(level * e.n);
    }
  });
}

/// By the tables themselves, so that lit and unlit spots agree where the sun comes and goes.
void tabulate_unlit(const Study& study, YearModel::Parts& parts) {
  const int spots = static_cast<int>(parts.spots.size());
  parts.unlit = SunTable(parts.fast, spots);
  const std::vector<int> nodes = parts.fast.needed(parts.latitude, lowest_sun);
  for_each_index(static_cast<int>(nodes.size()), [&](int i) {
    const int node = nodes[i];
    SunNow now = parts.now(parts.fast.place(node));
    now.eye_beam.assign(study.viewers.size(), 0.0);
    for (int s = 0; s < spots; ++s) {
      const SpotLook look = parts.look(now, s, 0);
      parts.unlit.at(node)[s] = static_cast<float>(std::log(std::max(look.visibility, least_visibility)));
    }
  });
}

}  // namespace

SunNow YearModel::Parts::now(DaySun::Place place) const {
  SunNow n;
  n.sun = DaySun::position(latitude, place);
  if (n.sun.altitude < -17 * rad_per_deg) n.sun.altitude = n.sun.apparent_altitude = -17 * rad_per_deg;
  n.level = sky_level(site, n.sun, sky_type);
  n.slow = slow.stencil(place);
  n.middling = middling.stencil(place);
  n.beams = beams.stencil(place);
  n.fast = fast.stencil(place);
  n.beam = beam;
  n.beam.sky.sun = n.sun;
  n.beam.sky.dark = false;
  n.beam.sky.sun_up = n.level.direct_normal > 0;
  n.beam.sky.direct_normal = n.level.direct_normal;
  n.beam.sky.sun_direction = sun_direction(site, n.sun);
  n.over_skyline = n.level.direct_normal > 0 ? kernel::disc_share((n.sun.apparent_altitude - site_skyline) / kernel::sun_radius()) : 0;
  return n;
}

LightVector YearModel::Parts::smooth(const SunNow& now, int spot) const {
  std::array<double, 3> sky{}, bounced{}, beam_part{};
  fast_sky.mix(now.fast, 3 * spot, 3, sky.data());
  bounce.mix(now.middling, 3 * spot, 3, bounced.data());
  const double diffuse = now.level.total - now.level.direct_horizontal, direct = now.level.direct_normal * now.over_skyline;
  if (direct > 0) beam_bounce.mix(now.beams, 3 * spot, 3, beam_part.data());
  return {diffuse * (sky[0] + bounced[0]) + direct * beam_part[0], diffuse * (sky[1] + bounced[1]) + direct * beam_part[1],
          std::max(0.0, diffuse * (sky[2] + bounced[2]) + direct * beam_part[2])};
}

double YearModel::Parts::beam_at(const SunNow& now, const Spot& s) const {
  const double along = glm::dot(study->room.surfaces[surfaces[s.face]].frame.n, now.beam.sky.sun_direction);
  return along <= -kernel::sun_radius() ? 0 : sun_at(now.beam, s.world).normal_illuminance;
}

LightVector YearModel::Parts::total(const SunNow& now, int spot) const {
  const Spot& s = spots[spot];
  LightVector e = smooth(now, spot);
  const double lux = now.over_skyline > 0 ? beam_at(now, s) : 0;
  if (lux <= 0) return e;
  const dvec3 sun = study->room.surfaces[surfaces[s.face]].frame.surface_direction(now.beam.sky.sun_direction);
  const double facing = kernel::disc_terminator(std::asin(std::clamp(sun.z, -1.0, 1.0)), kernel::sun_radius());
  e += LightVector{lux * sun.x, lux * sun.y, lux * facing};
  return e;
}

double YearModel::Parts::visibility(const SpotView& view, const SlopeLight& smooth, const SlopeLight& sun, double veil) const {
  const double flat = smooth.flat + sun.flat, change = std::abs(smooth.change + sun.change);
  if (flat <= darkest || change == 0) return 0;
  const double near = std::abs(smooth.change) / (std::abs(smooth.change) + std::abs(sun.change));
  const double width = view.ratio[1] - view.ratio[0];
  double share = 0.5;
  if (std::abs(width) > 0.05 && smooth.flat > 0) share = std::clamp((std::log(std::max(std::abs(smooth.change) / smooth.flat, 1e-6)) - view.ratio[0]) / width, 0.0, 1.0);
  const double correction = (1 - share) * view.log_exact[0] + share * view.log_exact[1];
  return *study->job.verdict.gain * change / (flat + veil) * std::exp(log_unit(view.log_unit, flat + veil) + near * correction);
}

void YearModel::Parts::smooth_views(const SunNow& now, int spot, SlopeLight* light, double* veil) const {
  const Spot& s = spots[spot];
  const double diffuse = now.level.total - now.level.direct_horizontal, direct = now.level.direct_normal * now.over_skyline;
  const LightVector e = smooth(now, spot);
  std::array<double, 1> beam_part{};
  if (direct > 0) beam_bounce.mix(now.beams, 3 * spot + 2, 1, beam_part.data());
  std::array<double, 3 * most_viewers> view{};
  const int views_here = std::min(static_cast<int>(s.views.size()), most_viewers);
  slow_views.mix(now.slow, 3 * s.first_view, 3 * views_here, view.data());
  for (int v = 0; v < views_here; ++v) {
    const SpotView& who = s.views[v];
    light[v] = who.eye.base(e);
    light[v] += SlopeLight{diffuse * view[3 * v], diffuse * view[3 * v + 1]};
    light[v] += who.eye.even_sheen(direct * beam_part[0]);
    veil[v] = diffuse * std::max(0.0, view[3 * v + 2]);
    if (now.eye_beam[who.viewer] > 0)
      veil[v] += veil_at({{now.beam.sky.sun_direction, now.eye_beam[who.viewer], "sun"}}, study->viewers[who.viewer].eye, s.world, *study->job.verdict.age);
  }
}

SpotLook YearModel::Parts::look(const SunNow& now, int spot, double beam_lux) const {
  const Spot& s = spots[spot];
  SpotLook best;
  std::array<SlopeLight, most_viewers> light;
  std::array<double, most_viewers> veil{};
  smooth_views(now, spot, light.data(), veil.data());
  for (int v = 0; v < std::min(static_cast<int>(s.views.size()), most_viewers); ++v) {
    const SlopeLight sun = beam_lux > 0 ? s.views[v].eye.sun(now.beam.sky.sun_direction, beam_lux) : SlopeLight{};
    const double here = visibility(s.views[v], light[v], sun, veil[v]);
    if (here > best.visibility) best = {here, s.views[v].viewer};
  }
  return best;
}

YearModel::YearModel(const Study& study, int sky_type) : parts_(std::make_unique<Parts>()) {
  Parts& p = *parts_;
  p.study = &study;
  p.site = study.job.site;
  p.site_skyline = std::max(0.0, *p.site.skyline);
  p.latitude = *p.site.latitude_deg * rad_per_deg;
  p.sky_type = sky_type;
  for (int s = 0; s < static_cast<int>(study.room.surfaces.size()); ++s)
    if (study.room.surfaces[s].spec >= 0) p.surfaces.push_back(s);
  LightDetail detail;
  detail.patch = 0.5;
  p.basis = make_basis(study.job, study.room, detail);
  std::vector<Glazing> glazing;
  for (const Window& w : study.room.windows) glazing.push_back(make_glazing(w.glazing, w.transmittance));
  p.beam.room = &study.room;
  p.beam.glazing = glazing;
  p.beam.sky.skyline = p.site_skyline;
  make_spots(study, p, *p.basis, glazing);
  tabulate_slow(study, p);
  tabulate_bounce(study, p);
  tabulate_beam(study, p);
  tabulate_fast(p);
  const auto places = extreme_places(p);
  for (std::size_t i = 0; i < 2; ++i) hold_to_profiles(study, p, places[i], i);
  tabulate_unlit(study, p);
}
YearModel::~YearModel() = default;
YearModel::YearModel(YearModel&&) noexcept = default;

const std::vector<int>& YearModel::surfaces() const { return parts_->surfaces; }
const std::vector<std::vector<PlacedJoint>>& YearModel::joints() const { return parts_->joints; }

void YearModel::look(DaySun::Place place, std::vector<std::vector<YearLook>>& looks) const {
  const Parts& p = *parts_;
  const Study& study = *p.study;
  looks.resize(p.surfaces.size());
  for (std::size_t f = 0; f < looks.size(); ++f) looks[f].assign(p.joints[f].size(), {});
  SunNow now = p.now(place);
  if (now.level.total <= 0) return;
  now.eye_beam.assign(study.viewers.size(), 0.0);
  bool dazzled = false;
  if (now.over_skyline > 0)
    for (std::size_t v = 0; v < study.viewers.size(); ++v) {
      now.eye_beam[v] = sun_at(now.beam, study.viewers[v].eye).normal_illuminance;
      dazzled = dazzled || now.eye_beam[v] > 0;
    }
  // the table cannot follow how fast twilight fades
  const bool dusk = now.sun.altitude < 4 * rad_per_deg;
  if (now.sun.altitude < lowest_sun) return;
  thread_local std::vector<double> unlit;
  unlit.resize(p.spots.size());
  p.unlit.mix(now.fast, 0, static_cast<int>(p.spots.size()), unlit.data());
  for (std::size_t i = 0; i < p.spots.size(); ++i) {
    const Spot& s = p.spots[i];
    if (s.views.empty()) continue;
    const double beam = now.over_skyline > 0 ? p.beam_at(now, s) : 0;
    SpotLook at{std::exp(unlit[i]), -1};
    YearLook& joint = looks[s.face][s.joint];
    if (beam > 0 || dazzled || dusk) at = p.look(now, static_cast<int>(i), beam);
    if (at.visibility <= joint.visibility) continue;
    joint.visibility = at.visibility;
    joint.viewer = at.viewer;
    joint.station = static_cast<int>(i);
  }
  for (std::size_t f = 0; f < looks.size(); ++f)
    for (std::size_t j = 0; j < looks[f].size(); ++j) {
      YearLook& joint = looks[f][j];
      if (joint.visibility <= 0) continue;
      const int spot = joint.station;
      joint.station = spot - p.first_spot[f][j];
      if (joint.viewer < 0 && joint.visibility > least_visibility) joint.viewer = p.look(now, spot, 0).viewer;
      joint.viewer = std::max(joint.viewer, 0);
      const LightVector e = p.total(now, spot);
      joint.raking_ratio = e.n > 0 ? glm::length(e.tangential()) / e.n : 0;
    }
}

LightVector YearModel::light(DaySun::Place place, int face, int joint, int station) const {
  const SunNow now = parts_->now(place);
  if (now.level.total <= 0) return {};
  return parts_->total(now, parts_->first_spot[face][joint] + station);
}

}  // namespace rakelight
