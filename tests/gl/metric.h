// How far a picture is from a golden one.
#pragma once
#include <algorithm>
#include <cmath>

#include "base/image.h"

namespace rakelight::testing {

/// Differences over the golden value, or over 1 cd/m² where that is less; both pictures of one size. A pixel that is not a
/// number is endlessly far.
struct Distance {
  double worst = 0, mean = 0;
  Image difference;   ///< of each pixel
};
inline Distance distance_between(const Image& picture, const Image& golden) {
  Distance d;
  d.difference = Image(picture.width, picture.height, picture.channels);
  double sum = 0;
  for (std::size_t i = 0; i < picture.pixels.size(); ++i) {
    double one = std::abs(static_cast<double>(picture.pixels[i]) - golden.pixels[i]) / std::max(golden.pixels[i], 1.0f);
    if (std::isnan(one)) one = HUGE_VAL;
    d.difference.pixels[i] = static_cast<float>(one);
    d.worst = std::max(d.worst, one);
    sum += one;
  }
  d.mean = sum / static_cast<double>(std::max<std::size_t>(picture.pixels.size(), 1));
  return d;
}

/// An edge pixel may take another of its four samples when the processor rounds otherwise (a quarter of what it shows);
/// nothing else moves by more than rounding, so the mean is held a thousand times tighter.
inline bool close_enough(const Distance& d) { return d.worst < 0.3 && d.mean < 2e-4; }

}  // namespace rakelight::testing
