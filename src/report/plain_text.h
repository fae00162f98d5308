// Text on pictures and drawings, the same on every machine.
#pragma once
#include <cairo.h>

#include <cstdint>
#include <memory>

#include "base/image.h"

namespace rakelight {

struct CairoRelease {
  void operator()(cairo_surface_t* s) const { cairo_surface_destroy(s); }
  void operator()(cairo_t* c) const { cairo_destroy(c); }
  void operator()(cairo_font_options_t* o) const { cairo_font_options_destroy(o); }
};
using SurfacePtr = std::unique_ptr<cairo_surface_t, CairoRelease>;
using DrawPtr = std::unique_ptr<cairo_t, CairoRelease>;

inline constexpr const char* text_family = "DejaVu Sans";

/// Sets the one typeface, without hinting or colour fringes, whatever the desktop asks for.
inline void use_plain_text(cairo_t* draw) {
  cairo_select_font_face(draw, text_family, CAIRO_FONT_SLANT_NORMAL, CAIRO_FONT_WEIGHT_NORMAL);
  const std::unique_ptr<cairo_font_options_t, CairoRelease> options(cairo_font_options_create());
  cairo_font_options_set_antialias(options.get(), CAIRO_ANTIALIAS_GRAY);
  cairo_font_options_set_hint_style(options.get(), CAIRO_HINT_STYLE_NONE);
  cairo_font_options_set_hint_metrics(options.get(), CAIRO_HINT_METRICS_OFF);
  cairo_set_font_options(draw, options.get());
}

struct Drawing;
/// The pixels of a surface of the format CAIRO_FORMAT_RGB24: three channels, 0 to 255.
inline Image pixels_of(cairo_surface_t* surface) {
  cairo_surface_flush(surface);
  const unsigned char* data = cairo_image_surface_get_data(surface);
  const int stride = cairo_image_surface_get_stride(surface);
  Image out(cairo_image_surface_get_width(surface), cairo_image_surface_get_height(surface), 3);
  for (int y = 0; y < out.height; ++y)
    for (int x = 0; x < out.width; ++x)
      for (int k = 0; k < 3; ++k)  // cairo's pixels are native-endian 0xRRGGBB
        out.at(x, y, k) = static_cast<float>((reinterpret_cast<const std::uint32_t*>(data + y * stride)[x] >> (16 - 8 * k)) & 255u);
  return out;
}

/// Draws a drawing with the context's units as its millimetres (report/drawing.cpp).
void draw_drawing(cairo_t* draw, const Drawing& drawing);

}  // namespace rakelight
