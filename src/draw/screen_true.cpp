#include "draw/screen_true.h"

#include <algorithm>
#include <cassert>
#include <cmath>

#include "base/units.h"
#include "light/parallel.h"
#include "sight/sight.h"

namespace rakelight {
namespace {

constexpr double most_gain = 8, finest = 1, widest = 64;  ///< blur of the first and last octave, px
/// Cycles per pixel at which the difference of Gaussians of σ and 2σ passes most: √(ln 4 / 6) / (π σ); σ in px.
double middle_of(double sigma) { return std::sqrt(std::log(4.0) / 6) / (pi * sigma); }

using Plane = std::vector<float>;

/// Gaussian blur; what lies outside counts as no contrast.
Plane blurred(const Plane& in, int width, int height, double sigma) {
  const int reach = static_cast<int>(std::ceil(3 * sigma));
  std::vector<float> weight(static_cast<std::size_t>(reach) + 1);
  double sum = 0;
  for (int k = -reach; k <= reach; ++k) sum += std::exp(-0.5 * k * k / (sigma * sigma));
  for (int k = 0; k <= reach; ++k) weight[static_cast<std::size_t>(k)] = static_cast<float>(std::exp(-0.5 * k * k / (sigma * sigma)) / sum);
  Plane across(in.size()), out(in.size());
  for_each_index(height, [&](int y) {
    const float* row = in.data() + static_cast<std::size_t>(y) * width;
    for (int x = 0; x < width; ++x) {
      float v = 0;
      for (int k = std::max(-reach, -x); k <= std::min(reach, width - 1 - x); ++k) v += weight[static_cast<std::size_t>(std::abs(k))] * row[x + k];
      across[static_cast<std::size_t>(y) * width + x] = v;
    }
  });
  for_each_index(height, [&](int y) {
    float* row = out.data() + static_cast<std::size_t>(y) * width;
    for (int k = std::max(-reach, -y); k <= std::min(reach, height - 1 - y); ++k) {
      const float* from = across.data() + static_cast<std::size_t>(y + k) * width;
      const float w = weight[static_cast<std::size_t>(std::abs(k))];
      for (int x = 0; x < width; ++x) row[x] += w * from[x];
    }
  });
  return out;
}

}  // namespace

double degrees_per_pixel(const Room& room, const View& view) {
  if (view.kind == View::Kind::perspective) return 2 * std::tan(0.5 * view.field_of_view) / view.width * deg_per_rad;
  const Frame& frame = room.surfaces[static_cast<std::size_t>(view.surface)].frame;
  const double pixel = std::max(view.region.width() / view.width, view.region.height() / view.height);
  return pixel / std::max(0.1, frame.height_of(view.eye)) * deg_per_rad;
}

double screen_gain(double cycles_per_pixel, double site_degrees, double screen_degrees, double site_luminance, double screen_luminance) {
  const double site = observer_sensitivity(site_luminance, cycles_per_pixel / site_degrees);
  const double screen = observer_sensitivity(screen_luminance, cycles_per_pixel / screen_degrees);
  if (site <= 0) return 1 / most_gain;
  return screen <= 0 ? most_gain : std::clamp(site / screen, 1 / most_gain, most_gain);
}

Image screen_true(const Image& both, double site, const ScreenPlace& screen, double white_luminance) {
  assert(both.channels == 3 && white_luminance > 0);
  const int width = both.width, height = both.height;
  const auto count = static_cast<std::size_t>(width) * height;
  Plane contrast(count, 0.0f);
  double sum = 0, faces = 0;
  for (std::size_t i = 0; i < count; ++i) {
    const float flat = both.pixels[3 * i + 1];
    if (pixel_kind(both.pixels[3 * i + 2]) != PixelKind::face || !(flat > 0)) continue;
    contrast[i] = both.pixels[3 * i] / flat - 1;
    sum += flat;
    ++faces;
  }
  Image out(width, height, 1);
  for (std::size_t i = 0; i < count; ++i) out.pixels[i] = both.pixels[3 * i];
  if (faces == 0) return out;
  const double site_luminance = sum / faces, screen_luminance = std::min(1.0, site_luminance / white_luminance) * screen.white;
  const double screen_degrees = screen.width / width / screen.distance * deg_per_rad;
  Plane scaled(count, 0.0f), finer = contrast;
  const auto add = [&](const Plane& more, const Plane* less, double cycles) {
    const auto gain = static_cast<float>(screen_gain(cycles, site, screen_degrees, site_luminance, screen_luminance));
    for (std::size_t i = 0; i < count; ++i) scaled[i] += gain * (more[i] - (less ? (*less)[i] : 0.0f));
  };
  // what is finer than the first blur lies about half an octave above it
  double sigma = finest, cycles = std::min(0.5, middle_of(0.5 * finest));
  for (; sigma <= widest; sigma *= 2) {
    const Plane coarser = blurred(contrast, width, height, sigma);
    add(finer, &coarser, cycles);
    finer = coarser;
    cycles = middle_of(sigma);
  }
  add(finer, nullptr, cycles / 2);
  for (std::size_t i = 0; i < count; ++i)
    if (contrast[i] != 0 || scaled[i] != 0) {
      if (pixel_kind(both.pixels[3 * i + 2]) != PixelKind::face) continue;
      out.pixels[i] = std::max(0.0f, both.pixels[3 * i + 1] * (1 + scaled[i]));
    }
  return out;
}

}  // namespace rakelight
