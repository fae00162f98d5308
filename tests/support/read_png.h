// Reads PNG bytes back by libpng's simplified interface, which is not the one that wrote them.
#pragma once
#include <png.h>

#include <stdexcept>
#include <string>
#include <vector>

#include "base/image.h"

namespace rakelight::testing {

/// Levels 0 to 255; `channels`: 1 or 3. Throws std::runtime_error on damage.
inline Image read_png(const std::string& bytes, int channels) {
  png_image png{};
  png.version = PNG_IMAGE_VERSION;
  if (png_image_begin_read_from_memory(&png, bytes.data(), bytes.size()) == 0) throw std::runtime_error("these bytes are no PNG");
  png.format = channels == 1 ? PNG_FORMAT_GRAY : PNG_FORMAT_RGB;
  std::vector<unsigned char> levels(PNG_IMAGE_SIZE(png));
  if (png_image_finish_read(&png, nullptr, levels.data(), 0, nullptr) == 0) throw std::runtime_error(png.message);
  Image image(static_cast<int>(png.width), static_cast<int>(png.height), channels);
  for (std::size_t i = 0; i < levels.size(); ++i) image.pixels[i] = levels[i];
  return image;
}

}  // namespace rakelight::testing
