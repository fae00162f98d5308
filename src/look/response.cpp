#include "look/response.h"

#include <algorithm>
#include <cmath>

#include "base/units.h"
#include "light/indicatrix.h"
#include "look/scene_set.h"
#include "look/table.h"

namespace rakelight {
namespace {

using kernel::SceneKernels;
constexpr double tilt = 1e-3;  ///< small against the lobes' widths, large against rounding

SlopeLight from_three(double flat, double up, double down) { return {flat, (up - down) / (2 * tilt)}; }

}  // namespace

std::vector<GlassShare> glass_shares(const Scene& scene, int surface, dvec2 p) {
  SceneKernels k = kernels_of(scene);
  const dvec3 world = k.world_from_face(k.surface_frame(surface), dvec3(p, 0));
  std::vector<GlassShare> shares;
  for (int w = 0; w < k.window_count(); ++w) {
    const auto view = k.glass_view(w, world);
    if (!view.visible) continue;
    for (int column = 0; column < k.glass_columns(); ++column)
      for (int band = 0; band < k.glass_bands(); ++band) {
        const dvec4 s = k.glass_strip(view, column, band);
        if (s.w - s.z <= 1e-6 || s.y - s.x <= 1e-6) continue;
        auto part = k.glass_part(view, k.scene_outside(), k.window_at(w, 2), 0, s.x, s.y, s.z, s.w);
        if (!k.part_in_sight(world, view, part)) continue;
        const dvec4 glass = k.window_at(w, 2);
        part.luminance = part.excess = kernel::glass_transmittance(-glm::dot(part.middle, view.wall.n), glass.x, glass.y, glass.z);
        shares.push_back({part.middle, part, w});
      }
  }
  return shares;
}

double luminance_beyond(const GlassShare& share, const NearOutside& near, const kernel::Outside& outside) {
  const auto& b = share.part.beyond;
  if (b.kind == 1) return near.skyline;
  if (b.kind == 2) return outside.scale * sky_relative(outside, Indicatrix::of(outside), share.towards);
  if (b.kind == 3) return near.eaves;
  if (b.kind == 4) return near.fins;
  const double shaded = near.reach / (near.reach + b.away + 1e-9);
  return shaded * near.shaded_ground + (1 - shaded) * near.ground;
}

EyeView::EyeView(const Scene& scene, int surface, dvec2 p, dvec2 across, dvec3 eye) : across_(across) {
  SceneKernels k = kernels_of(scene);
  place_ = k.place_of(surface, p, eye);
  place_.rise = 0;
  place_.steepest = 0;
  facet_ = {k.facet_axes(place_, dvec2(0)), k.facet_axes(place_, tilt * across), k.facet_axes(place_, -tilt * across)};
}

SlopeLight EyeView::base(const LightVector& smooth) const {
  SceneKernels k;
  const dvec4 e(smooth.x, smooth.y, smooth.n, 0);
  return from_three(k.smooth_base(facet_[0], e, 0, dvec2(0)), k.smooth_base(facet_[1], e, 0, tilt * across_),
                    k.smooth_base(facet_[2], e, 0, -tilt * across_));
}

SlopeLight EyeView::sheen(const Scene& scene) const {
  SceneKernels k = kernels_of(scene);
  const double flat = k.facet_sheen(place_, facet_[0], 0, false);
  return {flat, (k.facet_sheen(place_, facet_[1], 0, false) - flat) / tilt};
}

void EyeView::sheens(const SceneSet& set, SlopeLight* answers) const {
  const std::size_t count = set.scenes.size();
  std::vector<SceneKernels> k;
  for (const Scene* scene : set.scenes) k.push_back(kernels_of(*scene));
  std::array<std::vector<double>, 2> sheen{std::vector<double>(count), std::vector<double>(count)};
  for (std::size_t f = 0; f < 2; ++f) room_sheens(k[0], set, place_, facet_[f], sheen[f].data());
  if (k[0].outside_lit())
    for (int w = 0; w < k[0].window_count(); ++w) {
      const auto view = k[0].glass_view(w, place_.world);
      if (!view.visible) continue;
      const dvec4 glass = k[0].window_at(w, 2);
      const int wall = k[0].whole(k[0].window_at(w, 0).x);
      const double back = view.p.z / (view.p.z + view.reveal);
      for (int column = 0; column < k[0].glass_columns(); ++column)
        for (int band = 0; band < k[0].glass_bands(); ++band) {
          const dvec4 s = k[0].glass_strip(view, column, band);
          if (s.w - s.z <= 1e-6 || s.y - s.x <= 1e-6) continue;
          auto part = k[0].glass_part(view, k[0].scene_outside(), glass, 0, s.x, s.y, s.z, s.w);
          if (!k[0].part_in_sight(place_.world, view, part)) continue;
          const dvec2 on_face = dvec2(view.p) + back * (0.5 * dvec2(s.x + s.y, s.z + s.w) - dvec2(view.p));
          // what a part adds is linear in its excess and in its luminance over the room's mean radiance
          std::array<double, 2> by_excess{}, by_luminance{};
          for (std::size_t f = 0; f < 2; ++f) {
            const double mean = k[0].mean_room_radiance();
            part.excess = 1;
            part.luminance = mean;
            by_excess[f] = k[0].part_luminance(place_, facet_[f], 0, false, part);
            part.excess = 0;
            part.luminance = mean + 1;
            by_luminance[f] = k[0].part_luminance(place_, facet_[f], 0, false, part);
          }
          for (std::size_t m = 0; m < count; ++m) {
            const double luminance = k[m].window_at(w, 4).z / pi, fill = k[m].patch_light(wall, on_face).x / pi;
            for (std::size_t f = 0; f < 2; ++f) sheen[f][m] += (luminance - fill) * by_excess[f] + (luminance - k[m].mean_room_radiance()) * by_luminance[f];
          }
        }
    }
  for (std::size_t m = 0; m < count; ++m) answers[m] = {sheen[0][m], (sheen[1][m] - sheen[0][m]) / tilt};
}

SlopeLight EyeView::glass(const Scene& unlit, const GlassShare& share) const {
  SceneKernels k = kernels_of(unlit);
  const double flat = k.part_luminance(place_, facet_[0], 0, false, share.part);
  return {flat, (k.part_luminance(place_, facet_[1], 0, false, share.part) - flat) / tilt};
}

SlopeLight EyeView::even_sheen(double exitance) const {
  return from_three(facet_[0].albedo * exitance / pi, facet_[1].albedo * exitance / pi, facet_[2].albedo * exitance / pi);
}

SlopeLight EyeView::sun(dvec3 towards, double beam) const {
  SceneKernels k;
  const double radius = kernel::sun_radius();
  const dvec3 light = k.face_direction(place_.frame, towards);
  if (beam <= 0 || light.z <= -radius) return {};
  const double seen = kernel::disc_share(light.z / radius);
  std::array<double, 3> l{};
  for (std::size_t i = 0; i < 3; ++i) {
    const double mu = std::clamp(glm::dot(light, facet_[i].n), -1.0, 1.0);
    if (mu <= -radius) continue;
    // (over a radius the terminator is the sine itself)
    l[i] = beam * seen * (mu >= radius ? mu : kernel::disc_terminator(std::asin(mu), radius)) * k.reflected(place_, facet_[i], light, std::max(mu, 1e-4), radius);
  }
  return from_three(l[0], l[1], l[2]);
}

ContrastProfile slope_profile(const Scene& scene, int surface, const PlacedJoint& joint, double station) {
  constexpr double widest_step = 1e-3;
  SceneKernels k = kernels_of(scene);
  const dvec2 across = joint.line.across(), middle = joint.line.from + station * joint.line.along();
  const double step = std::min(widest_step, joint.figures.lap_width > 0 ? joint.figures.lap_width / 4 : widest_step);
  const int count = std::max(1, static_cast<int>(std::ceil((joint.section.last() - joint.section.first) / step)));
  ContrastProfile profile;
  profile.station = station;
  for (int i = 0; i < count; ++i) {
    const double u = joint.section.first + (i + 0.5) * step;
    profile.offset.push_back(u);
    profile.contrast.push_back(glm::dot(k.scene_relief(surface, middle + u * across, step).slope, across));
  }
  return profile;
}

}  // namespace rakelight
