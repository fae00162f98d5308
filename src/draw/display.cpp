// Exposure and the way to 8 bits; the curve itself is shaders/kernels/display.glsl.
#include "kernel/display.h"

#include <algorithm>
#include <cassert>
#include <cmath>

#include "draw/draw.h"
#include "kernel/scene.h"
#include "light/parallel.h"

namespace rakelight {
namespace {

constexpr double knee_signal = 2.0 / 3.0;   // luminance over white at which display_shoulder leaves the straight line
constexpr double dark_room = 1e-3;          // cd/m²: a room without light is shown black, not as amplified rounding

double white_from(std::vector<float> values, double share) {
  if (values.empty()) return 1;
  const auto at = static_cast<std::ptrdiff_t>(share * static_cast<double>(values.size() - 1));
  std::nth_element(values.begin(), values.begin() + at, values.end());
  return std::max<double>(values[static_cast<std::size_t>(at)], dark_room) / knee_signal;
}

}  // namespace

double exposure_for(const Image& luminance) {
  assert(luminance.channels == 1);
  return white_from(luminance.pixels, 0.90);
}

double exposure_for(Headless& context, const Scene& scene, const View& view) {
  View small = view;
  // the percentile of 30,000 pixels is steady to a fraction of a percent
  const double shrink = std::sqrt(30000.0 / (static_cast<double>(view.width) * view.height));
  if (shrink < 1) {
    small.width = std::max(1, static_cast<int>(std::lround(view.width * shrink)));
    small.height = std::max(1, static_cast<int>(std::lround(view.height * shrink)));
  }
  // and of a draft's flat luminances likewise
  small.draft = true;
  return exposure_of(scene, render_both(context, scene, small));
}

double exposure_of(const Scene& scene, const Image& both) {
  kernel::SceneKernels table{scene.rows.data()};
  std::vector<float> subject, surfaces;
  for (std::size_t i = 0; i < both.pixels.size(); i += 3) {
    const float id = both.pixels[i + 2];
    const PixelKind kind = pixel_kind(id);
    if (kind != PixelKind::face && kind != PixelKind::reveal && kind != PixelKind::door) continue;
    surfaces.push_back(both.pixels[i + 1]);
    if (kind == PixelKind::face && table.surface_at(pixel_surface(id), 11).y > 0) subject.push_back(both.pixels[i + 1]);
  }
  // a sliver of the subject at the picture's edge must not set the exposure
  return white_from(subject.size() * 50 > surfaces.size() ? std::move(subject) : std::move(surfaces), 0.97);
}

Image display(const Image& luminance, double white_luminance) {
  assert(luminance.channels == 1 && white_luminance > 0);
  Image out(luminance.width, luminance.height, 1);
  for_each_index(luminance.height, [&](int y) {
    for (int x = 0; x < luminance.width; ++x)
      out.at(x, y, 0) = static_cast<float>(kernel::display_level(luminance.at(x, y, 0), white_luminance,
                                                                 static_cast<unsigned>(x), static_cast<unsigned>(y)));
  });
  return out;
}

}  // namespace rakelight
