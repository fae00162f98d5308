// Words on pictures: the caption strip below one, headings above several. Text is set by cairo in DejaVu Sans;
// sizes follow the picture's width, so that a small picture stays readable and a large one is not shouted over.
#include <algorithm>
#include <cassert>
#include <cmath>
#include <memory>
#include <stdexcept>

#include "base/lines.h"
#include "report/plain_text.h"
#include "report/report.h"

namespace rakelight {
namespace {

constexpr double strip_grey = 46, text_grey = 232, gap_grey = 119;
constexpr int gap = 2;             // px between pictures that are compared
constexpr std::size_t most_lines = 3;
constexpr double wide_aspect = 1.6;

/// Grey text on a grey ground, in an 8-bit alpha mask that is blended in by hand: neutral, no colour fringes.
class Canvas {
 public:
  Canvas(int width, int height)
      : surface_(cairo_image_surface_create(CAIRO_FORMAT_A8, width, height)), draw_(cairo_create(surface_.get())) {
    if (cairo_status(draw_.get()) != CAIRO_STATUS_SUCCESS) throw std::runtime_error("cannot set the text of a picture");
    use_plain_text(draw_.get());
  }
  void size(double px) { cairo_set_font_size(draw_.get(), px); }
  double width_of(const std::string& text) {
    cairo_text_extents_t extents{};
    cairo_text_extents(draw_.get(), text.c_str(), &extents);
    return extents.x_advance;
  }
  void text(double x, double baseline, const std::string& words) {
    cairo_move_to(draw_.get(), x, baseline);
    cairo_show_text(draw_.get(), words.c_str());
  }
  /// Blends text in `grey` over what `image` holds at (left, top).
  void onto(Image& image, int left, int top, double grey) {
    cairo_surface_flush(surface_.get());
    const unsigned char* mask = cairo_image_surface_get_data(surface_.get());
    const int stride = cairo_image_surface_get_stride(surface_.get());
    const int columns = cairo_image_surface_get_width(surface_.get()), rows = cairo_image_surface_get_height(surface_.get());
    for (int y = 0; y < rows; ++y)
      for (int x = 0; x < columns; ++x)
        for (int c = 0; c < image.channels; ++c) {
          float& pixel = image.at(left + x, top + y, c);
          const double share = mask[y * stride + x] / 255.0;
          pixel = static_cast<float>(std::round(pixel + share * (grey - pixel)));
        }
  }

 private:
  SurfacePtr surface_;
  DrawPtr draw_;
};

double text_size(int width) { return std::clamp(width / 72.0, 11.0, 48.0); }

/// The texts in lines no wider than `room`.
std::vector<std::string> wrapped(Canvas& canvas, const std::vector<std::string>& texts, double room) {
  std::vector<std::string> lines;
  for (const std::string& text : texts) {
    if (text.empty()) continue;
    for (std::string& line : in_lines(text, room, [&](std::string_view part) { return canvas.width_of(std::string(part)); })) lines.push_back(std::move(line));
  }
  return lines;
}

bool fits(Canvas& canvas, const std::vector<std::string>& lines, std::size_t asked, double room) {
  return lines.size() <= std::max(most_lines, asked) &&
         std::all_of(lines.begin(), lines.end(), [&](const std::string& l) { return canvas.width_of(l) <= room; });
}

void copy_into(Image& to, int left, int top, const Image& from) {
  for (int y = 0; y < from.height; ++y)
    for (int x = 0; x < from.width; ++x)
      for (int c = 0; c < to.channels; ++c) to.at(left + x, top + y, c) = from.at(x, y, from.channels == 1 ? 0 : c);
}

void fill(Image& image, int left, int top, int width, int height, double grey) {
  for (int y = top; y < top + height; ++y)
    for (int x = left; x < left + width; ++x)
      for (int c = 0; c < image.channels; ++c) image.at(x, y, c) = static_cast<float>(grey);
}

/// Height of the strip for one heading over a picture `width` px wide.
int heading_height(int width) { return static_cast<int>(std::lround(text_size(width) * 1.9)); }

void draw_heading(Image& image, int left, int top, int width, const std::string& heading) {
  const int height = heading_height(width);
  fill(image, left, top, width, height, strip_grey);
  Canvas canvas(width, height);
  double size = text_size(width);
  canvas.size(size);
  const double room = width - size * 1.6;
  while (canvas.width_of(heading) > room && size > 5) canvas.size(size -= 0.5);
  canvas.text(size * 0.8, height * 0.5 + size * 0.36, heading);
  canvas.onto(image, left, top, text_grey);
}

}  // namespace

Image with_caption(const Image& display_8bit, const std::vector<std::string>& lines) {
  const int width = display_8bit.width;
  double size = text_size(width);
  Canvas ruler(1, 1);
  std::vector<std::string> set;
  for (;; size -= 0.5) {
    ruler.size(size);
    set = wrapped(ruler, lines, width - 1.6 * size);
    if (fits(ruler, set, lines.size(), width - 1.6 * size) || size <= 5) break;
  }
  const double leading = size * 1.45;
  const int strip = static_cast<int>(std::ceil(leading * static_cast<double>(set.size()) + size * 0.9));
  Image out(width, display_8bit.height + strip, display_8bit.channels);
  copy_into(out, 0, 0, display_8bit);
  fill(out, 0, display_8bit.height, width, strip, strip_grey);
  Canvas canvas(width, strip);
  canvas.size(size);
  for (std::size_t i = 0; i < set.size(); ++i)
    canvas.text(size * 0.8, size * 0.45 + leading * static_cast<double>(i) + leading * 0.5 + size * 0.36, set[i]);
  canvas.onto(out, 0, display_8bit.height, text_grey);
  return out;
}

Image side_by_side(const std::vector<Image>& pictures, const std::vector<std::string>& headings) {
  assert(!pictures.empty() && pictures.size() == headings.size());
  const auto n = static_cast<int>(pictures.size());
  int channels = 1, widest = 0, tallest = 0;
  double aspect = 0;
  for (const Image& p : pictures) {
    channels = std::max(channels, p.channels);
    widest = std::max(widest, p.width);
    tallest = std::max(tallest, p.height);
    aspect = std::max(aspect, static_cast<double>(p.width) / p.height);
  }
  const bool stacked = aspect > wide_aspect;
  const int strip = heading_height(widest);
  const int cell_height = strip + tallest;
  Image out(stacked ? widest : widest * n + gap * (n - 1), stacked ? cell_height * n + gap * (n - 1) : cell_height, channels);
  fill(out, 0, 0, out.width, out.height, gap_grey);
  for (int i = 0; i < n; ++i) {
    const int left = stacked ? 0 : i * (widest + gap), top = stacked ? i * (cell_height + gap) : 0;
    draw_heading(out, left, top, widest, headings[static_cast<std::size_t>(i)]);
    copy_into(out, left, top + strip, pictures[static_cast<std::size_t>(i)]);
  }
  return out;
}

}  // namespace rakelight
