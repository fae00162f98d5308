#include "draw/draw.h"

#include <algorithm>
#include <cassert>
#include <cmath>

#include "draw/renderer.h"
#include "light/parallel.h"

namespace rakelight {

Image render_both(Headless& context, const Scene& scene, const View& view) {
  return context.renderer().both(scene, view);
}

// the two below undo id_of of shaders/passes/rays.glsl
PixelKind pixel_kind(float id) { return static_cast<PixelKind>(static_cast<int>(id) % 8); }
int pixel_surface(float id) {
  const PixelKind kind = pixel_kind(id);
  return kind == PixelKind::lamp || kind == PixelKind::nothing ? -1 : static_cast<int>(id) / 64 % 256 - 1;
}

Image render(Headless& context, const Scene& scene, const View& view) { return luminance_of(render_both(context, scene, view), view); }

Image luminance_of(const Image& both, const View& view) {
  Image out(both.width, both.height, 1);
  for_each_index(both.height, [&](int y) {
    const std::size_t first = static_cast<std::size_t>(y) * both.width;
    for (std::size_t i = first; i < first + both.width; ++i) {
      const float relief = both.pixels[3 * i], flat = both.pixels[3 * i + 1];
      if (!view.relief) out.pixels[i] = flat;
      else if (view.amplify == 1) out.pixels[i] = relief;
      else out.pixels[i] = std::max(0.0f, flat + static_cast<float>(view.amplify) * (relief - flat));
    }
  });
  return out;
}

}  // namespace rakelight
