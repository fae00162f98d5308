// A picture in linear light, row by row from the top left.
#pragma once
#include <cstddef>
#include <vector>

namespace rakelight {
struct Image {
  int width = 0, height = 0, channels = 3;
  std::vector<float> pixels;  ///< width * height * channels; luminance images are cd/m²
  Image() = default;
  Image(int w, int h, int c) : width(w), height(h), channels(c), pixels(static_cast<std::size_t>(w) * h * c) {}
  float& at(int x, int y, int c) { return pixels[(static_cast<std::size_t>(y) * width + x) * channels + c]; }
  float at(int x, int y, int c) const { return pixels[(static_cast<std::size_t>(y) * width + x) * channels + c]; }
};
}  // namespace rakelight
