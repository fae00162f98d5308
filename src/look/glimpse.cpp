#include "look/glimpse.h"

#include <algorithm>
#include <cmath>
#include <optional>

#include "light/smooth.h"
#include "look/scene_set.h"
#include "look/section_cells.h"
#include "look/table.h"

namespace rakelight {
namespace {

using kernel::SceneKernels;

constexpr double anchor_pitch = 0.25;  ///< m

/// A face over compound at one moment, if it looks otherwise there.
std::optional<SceneKernels> over_compound(const Scene& scene, int surface) {
  if (scene.over_compound.empty()) return std::nullopt;
  SceneKernels paper = kernels_of(scene), compound = kernels_over_compound(scene);
  if (paper.surface_at(surface, 5) == compound.surface_at(surface, 5)) return std::nullopt;
  return compound;
}

SceneKernels::Place bare_place(SceneKernels& k, int surface, dvec2 p, dvec3 eye) {
  SceneKernels::Place place = k.place_of(surface, p, eye);
  place.rise = 0;
  place.steepest = 0;
  return place;
}

}  // namespace

JointGlimpses::JointGlimpses(const SceneSet& set, const Room& room, int surface, const PlacedJoint& joint, std::vector<double> stations,
                             std::vector<dvec3> eyes)
    : set_(set), room_(room), surface_(surface), joint_(joint), stations_(std::move(stations)), eyes_(std::move(eyes)) {
  const std::vector<double>& slope = joint.section.slope;
  double least = 0, most = 0;
  for (const double s : slope) {
    least = std::min(least, s);
    most = std::max(most, s);
  }
  for (const double h : joint.section.height) highest_ = std::max(highest_, std::abs(h));
  const dvec2 across = joint.line.across();
  slopes_ = {dvec2(0), least * across, most * across};
  for (const Scene* scene : set.scenes) over_compound_ = over_compound_ || over_compound(*scene, surface).has_value();
  glimpses_.resize(set.scenes.size() * eyes_.size() * stations_.size());
  if (stations_.empty()) return;
  const double from = stations_.front(), to = stations_.back();
  const auto parts = static_cast<std::size_t>(std::ceil((to - from) / anchor_pitch));
  for (std::size_t i = 0; i <= parts; ++i) anchors_.emplace_back().at = parts == 0 ? from : from + (to - from) * static_cast<double>(i) / static_cast<double>(parts);
}

void JointGlimpses::prepare(std::size_t anchor) {
  Anchor& a = anchors_[anchor];
  const dvec2 p = place(a.at);
  for (const LightSample& l : smooth_light(set_.lightings, surface_, p)) a.smooth.emplace_back(l.e.x, l.e.y, l.e.n, l.div_t);
  const std::size_t moments = set_.scenes.size(), facets = slopes_.size() * (over_compound_ ? 2 : 1);
  a.room.resize(eyes_.size() * facets * moments);
  double* out = a.room.data();
  for (const dvec3 eye : eyes_)
    for (const bool compound : {false, true}) {
      if (compound && !over_compound_) continue;
      SceneKernels k = compound ? kernels_over_compound(*set_.scenes[0]) : kernels_of(*set_.scenes[0]);
      const SceneKernels::Place at = bare_place(k, surface_, p, eye);
      for (const dvec2 slope : slopes_) {
        room_sheens(k, set_, at, k.facet_axes(at, slope), out);
        out += moments;
      }
    }
}

void JointGlimpses::look(std::size_t station) {
  const double s = stations_[station];
  const dvec2 p = place(s);
  const Frame& frame = room_.surfaces[static_cast<std::size_t>(surface_)].frame;
  const dvec3 world = frame.world_from_surface(p);
  std::vector<std::size_t> seeing;
  for (std::size_t e = 0; e < eyes_.size(); ++e)
    if (frame.height_of(eyes_[e]) > 1e-6 && room_.sees(eyes_[e], world)) seeing.push_back(e);
  if (seeing.empty()) return;
  // between two anchors, or at the only one
  const double run = anchors_.back().at - anchors_.front().at;
  const double where = run > 0 ? (s - anchors_.front().at) / run * static_cast<double>(anchors_.size() - 1) : 0;
  const std::size_t before = std::min(static_cast<std::size_t>(std::max(where, 0.0)), anchors_.size() < 2 ? 0 : anchors_.size() - 2);
  const Anchor &a = anchors_[before], &b = anchors_[std::min(before + 1, anchors_.size() - 1)];
  const double t = where - static_cast<double>(before);
  const std::size_t moments = set_.scenes.size(), facets = slopes_.size();
  const std::size_t coats = over_compound_ ? 2 : 1;
  const kernel::Film end = film_end(joint_, s);
  const dvec2 dying = glm::dot(end.slope, joint_.line.along()) * highest_ * joint_.line.along();
  std::vector<SceneKernels::GlassPart> parts;
  for (std::size_t m = 0; m < moments; ++m) {
    SceneKernels paper = kernels_of(*set_.scenes[m]);
    std::optional<SceneKernels> compound = over_compound(*set_.scenes[m], surface_);
    parts.clear();
    for_each_glass_part(paper, world, [&](const SceneKernels::GlassPart& part) { parts.push_back(part); });
    const double lift = paper.lift_share(surface_, p);
    const dvec4 smooth = (1 - t) * a.smooth[m] + t * b.smooth[m];
    for (const std::size_t e : seeing) {
      // of another slope the room's sheen is that of facet f
      const auto luminance = [&](SceneKernels& k, const SceneKernels::Place& at, std::size_t coat, std::size_t f, dvec2 slope, double h) {
        const SceneKernels::FacetAxes facet = k.facet_axes(at, slope);
        const std::size_t row = ((e * coats + coat) * facets + f) * moments + m;
        double sum = k.smooth_base(facet, smooth, lift * h, slope) + (1 - t) * a.room[row] + t * b.room[row] + k.direct_luminance(at, facet, h);
        for (const auto& part : parts) sum += k.part_luminance(at, facet, h, false, part);
        return sum;
      };
      const SceneKernels::Place at = bare_place(paper, surface_, p, eyes_[e]);
      Glimpse& g = glimpses_[index(m, e, station)];
      g.flat_luminance = luminance(paper, at, 0, 0, dvec2(0), 0);
      if (g.flat_luminance <= 1e-9) continue;
      const auto differs = [&](double l, double share) { g.contrast = std::max(g.contrast, share * std::abs(l / g.flat_luminance - 1)); };
      for (std::size_t f = 1; f < facets; ++f) differs(luminance(paper, at, 0, f, slopes_[f], 0), end.height);
      differs(luminance(paper, at, 0, 0, dvec2(0), end.height * highest_), 1);
      if (glm::length(dying) > 1e-5) g.ending = std::abs(luminance(paper, at, 0, 0, dying, 0) / g.flat_luminance - 1);
      if (!compound) continue;
      const SceneKernels::Place over = bare_place(*compound, surface_, p, eyes_[e]);
      for (std::size_t f = 0; f < facets; ++f) differs(luminance(*compound, over, 1, f, slopes_[f], 0), 1);
    }
  }
}

}  // namespace rakelight
