#include "report/plot.h"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <stdexcept>

namespace rakelight {
namespace {
void set(cairo_t* c, const Tone& t) { cairo_set_source_rgb(c, t[0] / 255, t[1] / 255, t[2] / 255); }
}  // namespace

Tone mixed(const Tone& a, const Tone& b, double share) {
  Tone t{};
  for (std::size_t i = 0; i < 3; ++i) t[i] = a[i] + share * (b[i] - a[i]);
  return t;
}

Plot::Plot(int width, int height, const Tone& ground, const Tone& words)
    : width_(width), height_(height), words_(words), surface_(cairo_image_surface_create(CAIRO_FORMAT_RGB24, width, height)), draw_(cairo_create(surface_.get())) {
  if (cairo_status(draw_.get()) != CAIRO_STATUS_SUCCESS) throw std::runtime_error("cannot draw the chart");
  use_plain_text(draw_.get());
  box(0, 0, width, height, ground);
}

void Plot::box(double x, double y, double w, double h, const Tone& t) {
  if (w <= 0 || h <= 0) return;
  set(draw_.get(), t);
  cairo_rectangle(draw_.get(), x, y, w, h);
  cairo_fill(draw_.get());
}

void Plot::frame(double x, double y, double w, double h, double line, const Tone& t) {
  set(draw_.get(), t);
  cairo_set_dash(draw_.get(), nullptr, 0, 0);
  cairo_set_line_width(draw_.get(), line);
  cairo_rectangle(draw_.get(), x, y, w, h);
  cairo_stroke(draw_.get());
}

void Plot::line(dvec2 from, dvec2 to, double line, const Tone& t, const std::vector<double>& dash) {
  set(draw_.get(), t);
  cairo_set_dash(draw_.get(), dash.data(), static_cast<int>(dash.size()), 0);
  cairo_set_line_width(draw_.get(), line);
  cairo_set_line_cap(draw_.get(), CAIRO_LINE_CAP_ROUND);
  cairo_move_to(draw_.get(), from.x, from.y);
  cairo_line_to(draw_.get(), to.x, to.y);
  cairo_stroke(draw_.get());
}

void Plot::put(int x, int y, const Image& pixels) {
  cairo_surface_flush(surface_.get());
  unsigned char* data = cairo_image_surface_get_data(surface_.get());
  const int stride = cairo_image_surface_get_stride(surface_.get());
  const auto level = [](float v) { return static_cast<std::uint32_t>(std::lround(std::clamp(v, 0.0f, 255.0f))); };
  for (int j = std::max(0, -y); j < std::min(pixels.height, height_ - y); ++j)
    for (int i = std::max(0, -x); i < std::min(pixels.width, width_ - x); ++i)
      reinterpret_cast<std::uint32_t*>(data + (y + j) * stride)[x + i] =
          level(pixels.at(i, j, 0)) << 16 | level(pixels.at(i, j, 1)) << 8 | level(pixels.at(i, j, 2));
  cairo_surface_mark_dirty(surface_.get());
}

void Plot::face(double size, bool bold) {
  cairo_select_font_face(draw_.get(), text_family, CAIRO_FONT_SLANT_NORMAL, bold ? CAIRO_FONT_WEIGHT_BOLD : CAIRO_FONT_WEIGHT_NORMAL);
  cairo_set_font_size(draw_.get(), size);
}

double Plot::width_of(const std::string& words, double size, bool bold) {
  face(size, bold);
  cairo_text_extents_t extents{};
  cairo_text_extents(draw_.get(), words.c_str(), &extents);
  return extents.x_advance;
}

void Plot::text(double x, double baseline, double size, const std::string& words, double align, bool bold) {
  const double back = align > 0 ? align * width_of(words, size, bold) : 0;
  face(size, bold);
  set(draw_.get(), words_);
  cairo_move_to(draw_.get(), x - back, baseline);
  cairo_show_text(draw_.get(), words.c_str());
}

void Plot::text_over(double x, double baseline, double size, const std::string& words, double align, const Tone& tone, const Tone& behind) {
  const double back = align * width_of(words, size);
  cairo_move_to(draw_.get(), x - back, baseline);
  cairo_text_path(draw_.get(), words.c_str());
  set(draw_.get(), behind);
  cairo_set_dash(draw_.get(), nullptr, 0, 0);
  cairo_set_line_join(draw_.get(), CAIRO_LINE_JOIN_ROUND);
  cairo_set_line_width(draw_.get(), 0.3 * size);
  cairo_stroke_preserve(draw_.get());
  set(draw_.get(), tone);
  cairo_fill(draw_.get());
}

Image Plot::image() const { return pixels_of(surface_.get()); }

}  // namespace rakelight
