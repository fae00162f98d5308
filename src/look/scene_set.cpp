// Rays into the room, followed once for all moments: where they go hangs on room, coat, eye and facet alone.
#include "look/scene_set.h"

#include <algorithm>
#include <cassert>

#include "base/units.h"

namespace rakelight {

using kernel::SceneKernels;

SceneSet::SceneSet(std::vector<const Scene*> all, std::vector<const Lighting*> lit) : scenes(std::move(all)), lightings(std::move(lit)) {
  assert(!scenes.empty() && scenes.size() == lightings.size());
  std::vector<SceneKernels> k;
  for (const Scene* scene : scenes) k.push_back(kernels_of(*scene));
  for (int s = 0; s < k[0].surface_count(); ++s) {
    const dvec4 grid = k[0].surface_at(s, 6);
    first_patch.push_back(exitance.size() / (2 * scenes.size()));
    const int count = k[0].whole(grid.y) * k[0].whole(grid.z);
    const auto put = [&](SceneKernels& m, int i, bool blurred) {
      const dvec4 patch = m.scene_row(m.whole(m.surface_at(s, 6).x) + i);
      // a face that is all opening has none
      exitance.push_back(patch.z <= 0 ? pi * m.mean_room_radiance() : blurred ? patch.w : patch.x);
    };
    for (int i = 0; i < count; ++i) {
      for (auto& m : k) put(m, i, false);
      for (auto& m : k) put(m, i, true);
    }
  }
}

void room_sheens(SceneKernels& k, const SceneSet& set, const SceneKernels::Place& place, const SceneKernels::FacetAxes& facet, double* out) {
  const std::size_t moments = set.scenes.size();
  std::fill_n(out, moments, 0.0);
  if (facet.eye.z <= 1e-4) return;
  thread_local std::vector<double> ray_sum;
  ray_sum.resize(moments);
  const bool convex = k.room_convex();
  const int faces = convex ? k.corner_count() + 1 : 0;
  double weights = 0;
  const auto meet = [&](int surface, dvec3 at, double spot, double share) {
    const dvec3 q = k.face_from_world(k.surface_frame(surface), at);
    const auto taps = k.patch_taps(surface, dvec2(q));
    if (!taps.there) return;
    const double blurred = std::clamp(spot / k.SHEEN_BLUR, 0.0, 1.0), sharp = 1 - blurred;
    const std::array<double, 4> weight{share * (1 - taps.x) * (1 - taps.y), share * taps.x * (1 - taps.y), share * (1 - taps.x) * taps.y, share * taps.x * taps.y};
    const std::array<int, 4> patch{taps.a, taps.b, taps.c, taps.d};
    for (std::size_t n = 0; n < 4; ++n) {
      const double* row = set.exitance.data() + 2 * moments * (set.first_patch[static_cast<std::size_t>(surface)] + static_cast<std::size_t>(patch[n]));
      const double a = weight[n] * sharp, b = weight[n] * blurred;
      for (std::size_t m = 0; m < moments; ++m) ray_sum[m] += a * row[m] + b * row[moments + m];
    }
  };
  static const auto points = [] {
    std::array<dvec2, 32> all;
    for (int i = 0; i < 32; ++i) all[static_cast<std::size_t>(i)] = kernel::lobe_point(i);
    return all;
  }();
  const std::array<kernel::LobeFrame, 2> frames{kernel::lobe_frame(facet.eye, place.coat.alpha60), kernel::lobe_frame(facet.eye, place.coat.alpha85)};
  for (std::size_t i = place.eye_share < 1 ? 0 : 32; i < 64; ++i) {
    const SceneKernels::SheenRay ray = k.sheen_ray(place, facet, frames[i / 32], i >= 32, points[i % 32]);
    if (ray.weight <= 0) continue;
    weights += ray.weight;
    const SceneKernels::SceneHit hit = k.face_hit(place.world, ray.towards);
    if (hit.kind == 0) {
      for (std::size_t m = 0; m < moments; ++m) out[m] += ray.weight * pi * kernels_of(*set.scenes[m]).mean_room_radiance();
      continue;
    }
    std::fill(ray_sum.begin(), ray_sum.end(), 0.0);
    double shares = 1;
    meet(hit.surface, place.world + hit.range * ray.towards, 0.5 * ray.soft * hit.range, 1);
    for (int f = 0; f < faces; ++f) {
      const SceneKernels::BesideFace other = k.beside_face(place.world, ray.towards, ray.soft, hit, f);
      if (other.share <= 0) continue;
      shares += other.share;
      meet(other.surface, place.world + other.range * ray.towards, 0.5 * ray.soft * other.range, other.share);
    }
    const double weight = ray.weight / shares;
    for (std::size_t m = 0; m < moments; ++m) out[m] += weight * ray_sum[m];
  }
  const double scale = weights > 0 ? facet.albedo / (weights * pi) : 0;
  for (std::size_t m = 0; m < moments; ++m) out[m] *= scale;
}

}  // namespace rakelight
