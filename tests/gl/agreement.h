// Pixels against the same kernels in double.
#pragma once
#include <algorithm>
#include <cmath>

#include "base/random.h"
#include "gl/stage.h"

namespace rakelight::testing {

/// What a pixel should hold, by the kernels in double; not usable where the pixel has an edge in it or a lamp.
struct Expected {
  bool usable = false;
  int surface = -1;
  kernel::SceneKernels::Shaded shaded{};
};

/// Ground, ground in the house's shadow, skyline, sky, eaves and fins as seen through glass.
inline int outside_band(kernel::SceneKernels& k, const kernel::SceneKernels::SceneHit& hit, dvec3 w) {
  const auto b = k.beyond_glass(hit.window, hit.p, k.face_direction(k.surface_frame(hit.surface), w), w);
  return b.kind == 0 && b.away < k.window_at(hit.window, 7).w ? 5 : b.kind;
}

inline Expected expected_pixel(const Scene& scene, const Camera& camera, int x, int y) {
  kernel::SceneKernels k = kernels_of(scene);
  const dvec3 w = camera.direction(x + 0.5, y + 0.5);
  const auto hit = k.scene_trace(camera.eye, w);
  Expected out;
  // one pixel more on every side, since float may put an edge just into the next pixel
  for (const int dx : {-1, 2})
    for (const int dy : {-1, 2}) {
      const dvec3 aside = camera.direction(x + dx, y + dy);
      const auto other = k.scene_trace(camera.eye, aside);
      if (hit.kind == 4 && other.kind == 4 && outside_band(k, other, aside) != outside_band(k, hit, w)) return out;
      if (other.kind != hit.kind || other.surface != hit.surface || other.window != hit.window || other.part != hit.part) return out;
    }
  out.usable = hit.kind != 0;
  out.surface = hit.surface;
  if (hit.kind == 1 && k.has_field(hit.surface)) {
    const double side = hit.surface == camera.facing ? camera.footprint : camera.footprint_angle * hit.range;
    out.shaded = k.shade_point(hit.surface, hit.p, camera.eye, side, k.field_light(hit.surface, hit.p));
  } else {
    out.shaded = k.plain_shade(hit, w);
  }
  return out;
}

struct Agreement {
  int pixels = 0, with_relief = 0;
  double luminance = 0;   ///< largest relative difference
  double contrast = 0;    ///< largest difference over the allowance 0.0005 + 0.01 |C|
};

/// Compares `pixels` random pixels without an edge or a lamp.
inline Agreement agreement(const Image& both, const Scene& scene, const View& view, int pixels, std::uint64_t seed) {
  const Camera camera = camera_of(scene, view);
  Random random(seed);
  Agreement out;
  for (int tries = 0; out.pixels < pixels && tries < 20 * pixels; ++tries) {
    const int x = static_cast<int>(random.uniform() * view.width), y = static_cast<int>(random.uniform() * view.height);
    if (pixel_kind(both.at(x, y, 2)) == PixelKind::lamp) continue;
    const Expected e = expected_pixel(scene, camera, x, y);
    if (!e.usable) continue;
    ++out.pixels;
    const double luminance = both.at(x, y, 0), flat = both.at(x, y, 1);
    out.luminance = std::max({out.luminance, std::abs(luminance / e.shaded.luminance - 1), std::abs(flat / e.shaded.flat_luminance - 1)});
    const double c = e.shaded.luminance / e.shaded.flat_luminance - 1;
    out.contrast = std::max(out.contrast, std::abs(luminance / flat - 1 - c) / (0.0005 + 0.01 * std::abs(c)));
    if (std::abs(c) > 0.002) ++out.with_relief;
  }
  return out;
}

}  // namespace rakelight::testing
