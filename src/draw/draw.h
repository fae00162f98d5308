// Pictures through OpenGL 4.1 core; headless contexts from EGL. The only folder with GL calls.
#pragma once
#include <memory>
#include <string>

#include "base/image.h"
#include "base/vec.h"
#include "look/look.h"

namespace rakelight {

/// A headless context: EGL's device platform first, then surfaceless. Throws std::runtime_error with a list of
/// what was tried when there is no OpenGL 4.1 core.
class Headless {
 public:
  Headless();
  ~Headless();
  Headless(const Headless&) = delete;
  Headless& operator=(const Headless&) = delete;
  std::string description() const;       ///< "OpenGL 4.5 core, renderer …"
 private:
  struct State;
  std::unique_ptr<State> state_;
};

/// What the picture looks at. Square-on: an orthographic picture of a rectangle of one surface, shaded for an eye
/// at `eye`. From a viewer: a perspective picture from `eye` towards `target`.
struct View {
  enum class Kind { square_on, perspective };
  Kind kind = Kind::square_on;
  int surface = 0;
  Rect region;                           ///< square_on: in the surface's frame, m; widened to the picture's shape
  dvec3 eye{0}, target{0};
  double field_of_view = 1.2;            ///< perspective: horizontal, rad
  int width = 1920, height = 1080;
  bool relief = true;                    ///< false: as if every joint were flat
  double amplify = 1;                    ///< relief contrast multiplied, L = L_flat (1 + n C)
};
/// The whole surface with a margin, at the picture's shape.
View square_on_view(const Room& room, int surface, dvec3 eye, int width, int height);

/// A luminance picture, cd/m², one channel, 32-bit float.
Image render(Headless& context, const Scene& scene, const View& view);

/// Locked exposure: the luminance shown as display white. Chosen once for a set of pictures that are compared.
double exposure_for(const Image& luminance);
/// Honest display: linear below the knee, exact sRGB curve, static dither; 8-bit values, one channel.
Image display(const Image& luminance, double white_luminance);

}  // namespace rakelight
