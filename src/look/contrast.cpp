// Relief contrast along a line across a joint. What costs most is shared: the relief of a station by all who look at it, the
// exact smooth light of a moment at five places of the section by every eye, an eye's rays into the room by every moment; and
// what the coat sends back of smooth light is tabulated over a few places and the slopes that occur (slow_table.h). Heights,
// slopes, base, lamps and sun are exact in every cell.
#include <algorithm>
#include <array>
#include <cassert>
#include <cmath>
#include <optional>

#include "base/units.h"
#include "light/smooth.h"
#include "look/face_heights.h"
#include "look/joint_looks.h"
#include "look/slow_table.h"
#include "look/table.h"

namespace rakelight {
namespace {

using kernel::SceneKernels;

/// Largest |slope| within `reach` cells of each cell.
std::vector<double> steepest_near(const SectionCells& s, double reach) {
  const std::size_t n = s.cells.size(), span = static_cast<std::size_t>(std::ceil(reach / s.step));
  std::vector<double> own(n), out(n);
  for (std::size_t i = 0; i < n; ++i) own[i] = glm::length(s.cells[i].facet.slope);
  for (std::size_t i = 0; i < n; ++i) {
    const auto from = own.begin() + static_cast<std::ptrdiff_t>(i > span ? i - span : 0);
    const auto to = own.begin() + static_cast<std::ptrdiff_t>(std::min(n, i + span + 1));
    out[i] = *std::max_element(from, to);
  }
  return out;
}

/// How luminance, and over the flat face's contrast, answers to slope and height at one cell.
struct Sensitivity { std::size_t cell; double slope, height; };
constexpr std::size_t derivative_spacing = 8;

/// ∂contrast/∂figure in every cell from sensitivities at some, in order, the first and the last cell among them.
void add_changes(ContrastProfile& profile, const SectionCells& s, const std::vector<Sensitivity>& at) {
  for (auto& list : profile.change) list.assign(s.cells.size(), 0.0);
  for (std::size_t i = 0, k = 0; i < s.cells.size(); ++i) {
    while (k + 2 < at.size() && at[k + 1].cell <= i) ++k;
    const Sensitivity& a = at[k];
    const Sensitivity& b = at[std::min(k + 1, at.size() - 1)];
    const double t = b.cell > a.cell ? double(i - a.cell) / double(b.cell - a.cell) : 0;
    const double slope = a.slope + t * (b.slope - a.slope), height = a.height + t * (b.height - a.height);
    for (std::size_t f = 0; f < all_figures.size(); ++f)
      profile.change[f][i] = s.share * (slope * s.joint->cells[i].slope_change[f] + height * s.joint->cells[i].height_change[f]);
  }
}

constexpr double tilt = 1e-5, lift = 1e-5;  ///< of the differences behind derivatives

/// A lamp, or the sun (index -1), in the face's axes.
struct Source {
  int index;
  kernel::LampForm form;
  bool box;                   ///< looked at part by part
};

/// As if no relief stood between. Kernels inlined to the last: so what is not asked for is not worked out either.
[[gnu::flatten]] double lamp_luminance(SceneKernels& k, const SceneKernels::Place& place, const SceneKernels::FacetAxes& facet, double h, const Source& source) {
  if (source.index < 0) return k.sun_light(place, facet, h, false).luminance;
  return k.lamp_light(place, facet, h, source.form, k.view_of_lamp(place, source.form, h), false).luminance;
}

/// How much of a source the relief leaves in sight of a cell at its height, and a little higher.
struct InSight { double there = 1, lifted = 1; };

/// The light of one moment at a station, the same for every eye.
struct StationLight {
  std::vector<dvec4> smooth;  ///< of each cell: E_x, E_y, E_n, divergence
  dvec4 amid{0};
  std::vector<Source> sources;
  std::vector<std::vector<InSight>> in_sight;  ///< of each source, by cell; empty where the relief hides none of it
};

std::vector<Source> sources_of(SceneKernels& k, const kernel::SceneKernels::FaceFrame& face) {
  std::vector<Source> all;
  if (k.scene_row(3).w > 0) all.push_back({-1, kernel::no_lamp(), false});
  for (int i = 0; i < k.lamp_count(); ++i) {
    all.push_back({i, k.face_lamp(face, i), false});
    all.back().box = kernel::lamp_view(all.back().form, dvec3(0), dvec3(0, 0, 1)).box;
  }
  return all;
}

/// Horizons hang on no eye, so they are looked for once.
std::vector<InSight> in_sight_of(SceneKernels& k, const SectionCells& s, SceneKernels::Place place, const Source& source) {
  std::vector<InSight> all;
  bool any = false;
  std::vector<double> steep;
  for (const Cell& c : s.cells) steep.push_back(glm::length(c.facet.slope));
  const double steepest = steep.empty() ? 0 : *std::max_element(steep.begin(), steep.end());
  FaceHeights heights(k, place.surface);
  // no slope of the section within a shadow's reach stands as steep as the light, and so none of it is hidden
  const auto clear = [&](std::size_t i, dvec3 light, double radius) {
    const double aside = glm::length(dvec2(light)), rise = std::max(light.z - radius, 0.0) / std::max(aside, 1e-9);
    if (steepest <= 0.9 * rise) return true;
    const auto span = static_cast<std::size_t>(std::min(1e6, std::ceil(place.rise / std::max(rise, 0.005) / s.step)));
    const auto from = steep.begin() + static_cast<std::ptrdiff_t>(i > span ? i - span : 0);
    const auto to = steep.begin() + static_cast<std::ptrdiff_t>(std::min(steep.size(), i + span + 1));
    return std::all_of(from, to, [&](double slope) { return slope <= 0.9 * rise; });
  };
  for (std::size_t i = 0; i < s.cells.size(); ++i) {
    const Cell& c = s.cells[i];
    InSight& seen = all.emplace_back();
    if (!c.facet.near) continue;
    place.p = c.p;
    place.world = k.world_from_face(place.frame, dvec3(c.p, 0));
    const auto share = [&](double h) {
      dvec3 light = k.face_direction(place.frame, dvec3(k.scene_header(3)));
      double radius = kernel::sun_radius();
      if (source.index >= 0) {
        const auto part = kernel::lamp_part(source.form, kernel::lamp_view(source.form, dvec3(c.p, h), dvec3(0, 0, 1)), 0);
        light = glm::normalize(part.to);
        radius = part.rise;
      }
      return clear(i, light, radius) ? 1.0 : heights.unhidden(place, light, h, radius);
    };
    seen.there = share(c.facet.h);
    seen.lifted = i % derivative_spacing == 0 || i + 1 == s.cells.size() ? share(c.facet.h + lift) : seen.there;
    any = any || seen.there < 1 || seen.lifted < 1;
  }
  if (!any) all.clear();
  return all;
}

/// A cell as one eye sees it under one coat.
struct CellView {
  dvec3 world, eye;
  double eye_share;
  SceneKernels::FacetAxes even, tilted;
};

/// A station under one coat as one eye sees it, whatever the moment.
struct SectionView {
  SceneKernels::Place middle;
  SlowPlaces slow;
  std::vector<std::optional<CellView>> cells;
  SectionView(SceneKernels& k, const SceneSet& set, const SectionCells& s, int surface, dvec3 eye)
      : middle(k.place_of(surface, s.middle, eye)), slow(k, set, s, middle, eye), cells(s.cells.size()) {}
  const CellView& cell(SceneKernels& k, const Cell& c, std::size_t i, dvec3 eye) {
    auto& known = cells[i];
    if (known) return *known;
    const SceneKernels::Place place = k.moved_to(middle, c.p, eye);
    return known.emplace(CellView{place.world, place.eye, place.eye_share, k.facet_axes(place, dvec2(0)), k.facet_axes(place, c.facet.slope)});
  }
};

/// A section's luminances under one coat, cd/m²: as if flat, with its relief, and how the latter answers, per m.
struct Shading {
  std::vector<double> flat, relief;
  std::vector<Sensitivity> answers;
};

Shading shade_section(SceneKernels& k, const SectionCells& s, const StationLight& light, SectionView& view, SlowTable& slow, dvec3 eye) {
  Shading out;
  const SceneKernels::Place& middle = view.middle;
  slow.complete(k, k.smooth_base(k.facet_axes(middle, dvec2(0)), light.amid, 0, dvec2(0)));
  std::vector<std::size_t> sources;  // the sun and the lamps that the table does not hold
  for (std::size_t n = 0; n < light.sources.size(); ++n)
    if (!slow.holds(light.sources[n].index)) sources.push_back(n);
  const double lowest = k.lowest_window(middle);
  // where no slope within a shadow's reach stands as steep as the lowest window, the relief hides none of it
  const std::vector<double> steep =
      lowest < middle.steepest ? steepest_near(s, middle.rise / std::max(lowest, 0.01)) : std::vector<double>(s.cells.size(), 0.0);
  SceneKernels::Place place = middle, unhindered = middle;
  unhindered.rise = 0;
  unhindered.steepest = 0;
  const auto source_light = [&](std::size_t n, const SceneKernels::FacetAxes& facet, double h, std::size_t cell, double InSight::*how_high) {
    const Source& source = light.sources[n];
    if (source.box) return k.formed_light(place, facet, h, source.index, source.form, middle.rise > 0).luminance;
    const double all = lamp_luminance(k, unhindered, facet, h, source);
    return light.in_sight[n].empty() ? all : light.in_sight[n][cell].*how_high * all;
  };
  for (std::size_t i = 0; i < s.cells.size(); ++i) {
    const Cell& c = s.cells[i];
    const CellView& seen = view.cell(k, c, i, eye);
    for (SceneKernels::Place* p : {&place, &unhindered}) {
      p->p = c.p;
      p->world = seen.world;
      p->eye = seen.eye;
      p->eye_share = seen.eye_share;
    }
    const dvec4& smooth = light.smooth[i];
    double flat = k.smooth_base(seen.even, smooth, 0, dvec2(0)) + slow.flat(i);
    for (const std::size_t n : sources) flat += lamp_luminance(k, unhindered, seen.even, 0, light.sources[n]);
    const bool hidden = steep[i] > 0.9 * lowest;
    const auto luminance = [&](const SceneKernels::FacetAxes& tilted, dvec2 slope, const SlowPlaces::Slopes& slopes, double h, double InSight::*how_high) {
      double l = k.smooth_base(tilted, smooth, c.lift * h, slope) + slow.tilted(i, slopes, h);
      for (const std::size_t n : sources) l += source_light(n, tilted, h, i, how_high);
      if (hidden) l += k.window_hidden(place, tilted, h);
      return l;
    };
    const SlowPlaces::Slopes& own = view.slow.slopes_at(i);
    const double relief = c.facet.near ? luminance(seen.tilted, c.facet.slope, own, c.facet.h, &InSight::there) : flat;
    out.flat.push_back(flat);
    out.relief.push_back(relief);
    // luminance is all but linear in the figures, with factors that vary slowly along the section
    if (i % derivative_spacing != 0 && i + 1 != s.cells.size()) continue;
    Sensitivity next{i, 0, 0};
    if (c.facet.near) {
      const dvec2 slope = c.facet.slope + tilt * s.across;
      next.slope = (luminance(k.facet_axes(place, slope), slope, view.slow.slope.weights(c.across + tilt), c.facet.h, &InSight::there) - relief) / tilt;
      next.height = (luminance(seen.tilted, c.facet.slope, own, c.facet.h + lift, &InSight::lifted) - relief) / lift;
    }
    out.answers.push_back(next);
  }
  return out;
}

/// One moment's scene: as on paper, and where every face is as over compound; empty where that is as on paper.
struct MomentScene {
  SceneKernels paper;
  std::optional<SceneKernels> compound;
};

/// An eye's view of a station under both coats, and one moment's tables of it.
struct StationView {
  SectionView paper;
  std::optional<SectionView> compound;
};
struct Tables {
  SlowTable paper;
  std::optional<SlowTable> compound;
};

ContrastProfile profile_of(MomentScene& scene, const SectionCells& s, const StationLight& light, StationView& view, Tables& tables, dvec3 eye) {
  ContrastProfile profile;
  profile.station = s.at;
  profile.at = view.paper.middle.world;
  const Shading paper = shade_section(scene.paper, s, light, view.paper, tables.paper, eye);
  std::optional<Shading> over;
  if (scene.compound) over = shade_section(*scene.compound, s, light, *view.compound, *tables.compound, eye);
  const auto mean = [&](const Cell& c, double on_paper, double on_compound) {
    return (1 - c.facet.cover) * on_paper + c.facet.cover * on_compound;
  };
  for (std::size_t i = 0; i < paper.flat.size(); ++i) {
    const Cell& c = s.cells[i];
    const double flat = paper.flat[i];
    const bool dark = flat <= 1e-9;
    profile.offset.push_back(c.u);
    profile.contrast.push_back(dark ? 0 : (over ? mean(c, paper.relief[i], over->relief[i]) : paper.relief[i]) / flat - 1);
    if (over) profile.band.push_back(dark ? 0 : mean(c, flat, over->flat[i]) / flat - 1);
    profile.flat_luminance += flat;
    if (std::abs(profile.contrast.back()) > std::abs(profile.peak)) {
      profile.peak = profile.contrast.back();
      profile.peak_offset = c.u;
    }
  }
  profile.flat_luminance /= static_cast<double>(paper.flat.size());
  std::vector<Sensitivity> answers = paper.answers;
  for (std::size_t n = 0; n < answers.size(); ++n) {
    Sensitivity& a = answers[n];
    const double flat = paper.flat[a.cell];
    if (over) {
      a.slope = mean(s.cells[a.cell], a.slope, over->answers[n].slope);
      a.height = mean(s.cells[a.cell], a.height, over->answers[n].height);
    }
    a.slope = flat <= 1e-9 ? 0 : a.slope / flat;
    a.height = flat <= 1e-9 ? 0 : a.height / flat;
  }
  add_changes(profile, s, answers);
  const dvec3 e = scene.paper.direct_light(view.paper.middle) + dvec3(light.amid);
  if (e.z > 0) {
    profile.raking_ratio = glm::length(dvec2(e)) / e.z;
    profile.across_ratio = std::abs(glm::dot(dvec2(e), s.across)) / e.z;
    for (std::size_t i = 0; i < s.cells.size(); ++i)
      profile.shade = std::max(profile.shade, std::abs(glm::dot(dvec2(e), s.cells[i].facet.slope)) / e.z + (over ? std::abs(profile.band[i]) : 0.0));
  }
  return profile;
}

}  // namespace

struct JointLooks::State {
  struct Station {
    double at = 0;
    std::vector<std::size_t> moments;  ///< at which it is looked at
    std::optional<SectionCells> cells;
    std::vector<StationLight> light;   ///< per moment of the set; empty ones are not looked at
  };
  struct Eye {
    dvec3 at{0};
    std::vector<std::size_t> looks;
    std::vector<std::vector<std::size_t>> stations;  ///< of each of those looks, the ones in sight
  };
  const SceneSet& set;
  int surface;
  const PlacedJoint& placed;
  std::shared_ptr<const JointCells> joint_cells;
  std::vector<LookWanted> wanted;
  std::vector<MomentScene> scenes;
  std::vector<Station> stations;
  std::vector<Eye> eyes;
};

JointLooks::JointLooks(const SceneSet& set, const Room& room, int surface, const Relief& relief, int joint, std::vector<LookWanted> wanted,
                       std::shared_ptr<const JointCells>* known) {
  assert(joint >= 0 && static_cast<std::size_t>(joint) < relief.joints.size());
  const PlacedJoint& placed = relief.joints[static_cast<std::size_t>(joint)];
  std::shared_ptr<const JointCells> cells = known ? *known : nullptr;
  if (!cells) cells = std::make_shared<const JointCells>(placed);
  if (known) *known = cells;
  state_ = std::make_unique<State>(State{set, surface, placed, std::move(cells), std::move(wanted), {}, {}, {}});
  State& s = *state_;
  for (const Scene* scene : set.scenes) {
    MomentScene& m = s.scenes.emplace_back(MomentScene{kernels_of(*scene), std::nullopt});
    if (scene->over_compound.empty()) continue;
    m.compound.emplace(kernels_over_compound(*scene));
    // faces without a band need no second look
    if (m.paper.surface_at(surface, 5) == m.compound->surface_at(surface, 5)) m.compound.reset();
  }
  const Frame& frame = room.surfaces[static_cast<std::size_t>(surface)].frame;
  const auto found = [](auto& all, const auto& value) {
    const auto at = std::find_if(all.begin(), all.end(), [&](const auto& one) { return one.at == value; });
    if (at != all.end()) return static_cast<std::size_t>(at - all.begin());
    all.emplace_back().at = value;
    return all.size() - 1;
  };
  for (std::size_t l = 0; l < s.wanted.size(); ++l) {
    const LookWanted& look = s.wanted[l];
    State::Eye& eye = s.eyes[found(s.eyes, look.eye)];
    eye.looks.push_back(l);
    auto& stations = eye.stations.emplace_back();
    if (frame.height_of(look.eye) <= 1e-6) continue;
    for (const double at : look.stations) {
      if (!room.sees(look.eye, frame.world_from_surface(placed.line.from + at * placed.line.along()))) continue;
      stations.push_back(found(s.stations, at));
      auto& moments = s.stations[stations.back()].moments;
      if (std::find(moments.begin(), moments.end(), look.moment) == moments.end()) moments.push_back(look.moment);
    }
  }
}

JointLooks::~JointLooks() = default;
JointLooks::JointLooks(JointLooks&&) noexcept = default;

std::size_t JointLooks::stations() const { return state_->stations.size(); }
std::size_t JointLooks::eyes() const { return state_->eyes.size(); }
const std::vector<std::size_t>& JointLooks::looks_of(std::size_t eye) const { return state_->eyes[eye].looks; }

void JointLooks::prepare(std::size_t station) {
  State::Station& own = state_->stations[station];
  SceneKernels k = state_->scenes[own.moments.front()].paper;
  own.cells = make_section_cells(k, state_->surface, state_->placed, state_->joint_cells, own.at);
  const SectionCells& cells = *own.cells;
  own.light.resize(state_->scenes.size());
  std::vector<const Lighting*> lightings;
  for (const std::size_t m : own.moments) lightings.push_back(state_->set.lightings[m]);
  std::vector<std::vector<LightSample>> samples;  // per place, per moment
  for (std::size_t i = 0; i < light_places; ++i)
    samples.push_back(smooth_light(lightings, state_->surface, cells.middle + cells.joint->place.node(i) * cells.across));
  for (std::size_t n = 0; n < own.moments.size(); ++n) {
    StationLight& light = own.light[own.moments[n]];
    const auto by = [&](const auto& weights) {
      dvec4 sum(0);
      for (std::size_t i = 0; i < light_places; ++i) {
        const LightSample& l = samples[i][n];
        sum += weights[i] * dvec4(l.e.x, l.e.y, l.e.n, l.div_t);
      }
      return sum;
    };
    for (const JointCells::Cell& c : cells.joint->cells) light.smooth.push_back(by(c.light_weight));
    SceneKernels moment = state_->scenes[own.moments[n]].paper;
    // of the eye nothing is asked
    const SceneKernels::Place place = moment.place_of(state_->surface, cells.middle, state_->eyes.front().at);
    light.sources = sources_of(moment, place.frame);
    for (const Source& source : light.sources)
      light.in_sight.push_back(source.box || place.rise <= 0 ? std::vector<InSight>() : in_sight_of(moment, cells, place, source));
    light.amid = by(cells.joint->place.weights(0));
  }
}

std::vector<std::vector<ContrastProfile>> JointLooks::look_from(std::size_t index) const {
  const State& s = *state_;
  const State::Eye& eye = s.eyes[index];
  std::vector<MomentScene> scenes = s.scenes;
  std::vector<std::vector<ContrastProfile>> profiles(eye.looks.size());
  std::vector<std::unique_ptr<StationView>> views(s.stations.size());
  for (std::size_t l = 0; l < eye.looks.size(); ++l) {
    const std::size_t moment = s.wanted[eye.looks[l]].moment;
    MomentScene& scene = scenes[moment];
    for (const std::size_t i : eye.stations[l]) {
      const State::Station& station = s.stations[i];
      const SectionCells& cells = *station.cells;
      auto& view = views[i];
      if (!view) {
        view = std::make_unique<StationView>(StationView{SectionView(scene.paper, s.set, cells, s.surface, eye.at), std::nullopt});
        if (scene.compound) view->compound.emplace(*scene.compound, s.set, cells, s.surface, eye.at);
      }
      Tables tables{SlowTable(scene.paper, view->paper.slow, moment), std::nullopt};
      if (scene.compound) tables.compound.emplace(*scene.compound, view->compound->slow, moment);
      profiles[l].push_back(profile_of(scene, cells, station.light[moment], *view, tables, eye.at));
    }
  }
  return profiles;
}

std::vector<std::vector<ContrastProfile>> contrast_across(const Scene& scene, const Lighting& lighting, const Room& room,
                                                          int surface, const Relief& relief, int joint,
                                                          const std::vector<double>& stations, const std::vector<dvec3>& eyes) {
  const SceneSet set({&scene}, {&lighting});
  std::vector<LookWanted> wanted;
  for (const dvec3 eye : eyes) wanted.push_back({0, eye, stations});
  JointLooks looks(set, room, surface, relief, joint, std::move(wanted));
  for (std::size_t i = 0; i < looks.stations(); ++i) looks.prepare(i);
  std::vector<std::vector<ContrastProfile>> profiles(eyes.size());
  for (std::size_t e = 0; e < looks.eyes(); ++e) {
    auto found = looks.look_from(e);  // one moment: a look is an eye
    for (std::size_t l = 0; l < found.size(); ++l) profiles[looks.looks_of(e)[l]] = std::move(found[l]);
  }
  return profiles;
}

std::vector<ContrastProfile> contrast_across(const Scene& scene, const Lighting& lighting, const Room& room, int surface,
                                             const Relief& relief, int joint, const std::vector<double>& stations, dvec3 eye) {
  return contrast_across(scene, lighting, room, surface, relief, joint, stations, std::vector<dvec3>{eye})[0];
}

}  // namespace rakelight
