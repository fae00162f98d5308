// Pictures through OpenGL 4.1 core; headless contexts from EGL. The only folder with GL calls.
#pragma once
#include <memory>
#include <string>

#include "base/image.h"
#include "base/vec.h"
#include "look/look.h"

namespace rakelight {

class Renderer;

/// A headless context: EGL's device platform first, then surfaceless. Throws std::runtime_error with a list of
/// what was tried when there is no OpenGL 4.1 core.
class Headless {
 public:
  Headless();
  ~Headless();
  Headless(const Headless&) = delete;
  Headless& operator=(const Headless&) = delete;
  std::string description() const;       ///< "OpenGL 4.5 core, renderer …"
  /// The passes, with the context made current on the calling thread; for draw's own functions and checks.
  Renderer& renderer();
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
  bool stipple = false;                  ///< the grain of paint and textures too, with relief and as if flat alike
  bool draft = false;                    ///< sheen from a coarse table: what moves is drawn sooner, gloss a little wrong
};
/// The whole surface with a margin, at the picture's shape.
View square_on_view(const Room& room, int surface, dvec3 eye, int width, int height);

/// A luminance picture, cd/m², one channel, 32-bit float. Throws std::runtime_error when OpenGL reports an error
/// or a message of high severity, std::invalid_argument when the view has no picture.
Image render(Headless& context, const Scene& scene, const View& view);

/// Of a picture by render_both what `render` gives: with or without relief, amplified or not, as the view says.
Image luminance_of(const Image& both, const View& view);

/// What is met in the middle of a pixel.
enum class PixelKind { nothing, face, reveal, frame, glass, door, lamp };
/// Three channels: luminance with relief and as if flat, cd/m² (View::relief and amplify play no part), and an id
/// for pixel_kind and pixel_surface.
Image render_both(Headless& context, const Scene& scene, const View& view);
PixelKind pixel_kind(float id);
int pixel_surface(float id);             ///< the room's surface, or the wall of a window or door; -1 for lamps and nothing

/// Locked exposure: the luminance shown as display white. Chosen once for a set of pictures that are compared.
/// The subject is every surface with joints in sight (all surfaces when there is none): its 97th percentile is put
/// at the knee of the display curve, so that nearly all of it is shown in true proportion while windows, lamps and
/// sun on other surfaces may clip. Renders a small draft of the view.
double exposure_for(Headless& context, const Scene& scene, const View& view);
/// The same from a picture already drawn by render_both; within a percent of it for 20,000 pixels or more.
double exposure_of(const Scene& scene, const Image& both);
/// The same from a finished picture alone, which does not know what is a window: 90th percentile of all pixels.
double exposure_for(const Image& luminance);
/// Honest display (shaders/kernels/display.glsl): linear up to 2/3 of the white luminance, a smooth shoulder above
/// it, the exact sRGB curve (IEC 61966-2-1), static triangular dither; 8-bit values, one channel.
Image display(const Image& luminance, double white_luminance);

}  // namespace rakelight
