// Pictures one after another as an animated WebP (RFC 9649), which browsers show.
#pragma once
#include <memory>
#include <string>

#include "base/image.h"

namespace rakelight {

class Film {
 public:
  /// Frames of one size, at most 16383 pixels a side, each shown for `frame_ms`; over and over. Throws std::runtime_error.
  Film(int width, int height, int frame_ms);
  ~Film();
  Film(const Film&) = delete;
  Film& operator=(const Film&) = delete;
  /// One or three channels, 0 to 255; kept without loss, so that the film is as honest as its pictures.
  void add(const Image& display_8bit);
  /// The file, when all frames are in.
  std::string bytes();

 private:
  struct State;
  std::unique_ptr<State> state_;
};

}  // namespace rakelight
