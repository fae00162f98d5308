#include "report/film.h"

#include <webp/encode.h>
#include <webp/mux.h>

#include <algorithm>
#include <cmath>
#include <stdexcept>
#include <vector>

namespace rakelight {

struct Film::State {
  int width, height, frame_ms, at_ms = 0;
  WebPAnimEncoder* encoder = nullptr;
  ~State() { WebPAnimEncoderDelete(encoder); }
};

Film::Film(int width, int height, int frame_ms) : state_(new State{width, height, frame_ms}) {
  WebPAnimEncoderOptions options;
  if (!WebPAnimEncoderOptionsInit(&options)) throw std::runtime_error("cannot make a film: the library for it is of another version");
  state_->encoder = WebPAnimEncoderNew(width, height, &options);
  if (!state_->encoder) throw std::runtime_error("cannot make a film of this size");
}

Film::~Film() = default;

void Film::add(const Image& image) {
  std::vector<std::uint8_t> rgb;
  rgb.reserve(static_cast<std::size_t>(image.width) * image.height * 3);
  for (int y = 0; y < image.height; ++y)
    for (int x = 0; x < image.width; ++x)
      for (int k = 0; k < 3; ++k)
        rgb.push_back(static_cast<std::uint8_t>(std::lround(std::clamp(image.at(x, y, std::min(k, image.channels - 1)), 0.0f, 255.0f))));
  WebPConfig config;
  WebPPicture picture;
  if (!WebPConfigInit(&config) || !WebPPictureInit(&picture)) throw std::runtime_error("cannot make a film: the library for it is of another version");
  config.lossless = 1;
  config.quality = 40;  // effort only; nothing is lost
  picture.use_argb = 1;
  picture.width = image.width;
  picture.height = image.height;
  const bool added = WebPPictureImportRGB(&picture, rgb.data(), 3 * image.width) && WebPAnimEncoderAdd(state_->encoder, &picture, state_->at_ms, &config);
  WebPPictureFree(&picture);
  if (!added) throw std::runtime_error(std::string("cannot add a picture to the film: ") + WebPAnimEncoderGetError(state_->encoder));
  state_->at_ms += state_->frame_ms;
}

std::string Film::bytes() {
  WebPData data;
  WebPDataInit(&data);
  const bool done = WebPAnimEncoderAdd(state_->encoder, nullptr, state_->at_ms, nullptr) && WebPAnimEncoderAssemble(state_->encoder, &data);
  std::string out;
  if (done) out.assign(reinterpret_cast<const char*>(data.bytes), data.size);
  WebPDataClear(&data);
  if (!done) throw std::runtime_error(std::string("cannot make the film: ") + WebPAnimEncoderGetError(state_->encoder));
  return out;
}

}  // namespace rakelight
