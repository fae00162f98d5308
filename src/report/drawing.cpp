#include "report/drawing.h"

#include <cairo-pdf.h>

#include <cmath>
#include <cstdlib>
#include <fmt/format.h>
#include <memory>
#include <stdexcept>

#include "base/text.h"
#include "base/units.h"
#include "report/plain_text.h"
#include "report/report.h"

namespace rakelight {
namespace {

constexpr double ink = 0.18;  ///< of dimension lines, mm

std::string number(double v) { return fixed_text(v, 3); }

std::string escaped(const std::string& text) {
  std::string out;
  for (char c : text) {
    if (c == '&') out += "&amp;";
    else if (c == '<') out += "&lt;";
    else if (c == '>') out += "&gt;";
    else out += c;
  }
  return out;
}

std::string svg_of(const Shape& s) {
  std::string points;
  for (dvec2 p : s.points) points += (points.empty() ? "" : " ") + number(p.x) + "," + number(p.y);
  std::string out = fmt::format("<{} points=\"{}\" fill=\"{}\"", s.closed ? "polygon" : "polyline", points, s.fill.empty() ? "none" : s.fill);
  if (!s.line.empty()) out += fmt::format(" stroke=\"{}\" stroke-width=\"{}\" stroke-linejoin=\"round\"", s.line, number(s.width));
  std::string dash;
  for (double d : s.dash) dash += (dash.empty() ? "" : " ") + number(d);
  if (!dash.empty()) out += " stroke-dasharray=\"" + dash + "\"";
  return out + "/>\n";
}

std::string svg_of(const Words& w) {
  const char* anchors[] = {"start", "middle", "end"};
  std::string out = fmt::format("<text x=\"{}\" y=\"{}\" font-size=\"{}\" fill=\"{}\" text-anchor=\"{}\"", number(w.at.x), number(w.at.y),
                                number(w.size), w.colour, anchors[static_cast<int>(w.anchor)]);
  if (w.bold) out += " font-weight=\"bold\"";
  if (w.upright) out += fmt::format(" transform=\"rotate(-90 {} {})\"", number(w.at.x), number(w.at.y));
  return out + ">" + escaped(w.text) + "</text>\n";
}

void set_colour(cairo_t* c, const Colour& colour) {
  const long v = std::strtol(colour.c_str() + 1, nullptr, 16);
  cairo_set_source_rgb(c, static_cast<double>((v >> 16) & 255) / 255, static_cast<double>((v >> 8) & 255) / 255, static_cast<double>(v & 255) / 255);
}

void draw(cairo_t* c, const Shape& s) {
  if (s.points.empty()) return;
  cairo_new_path(c);
  for (dvec2 p : s.points) cairo_line_to(c, p.x, p.y);
  if (s.closed) cairo_close_path(c);
  if (!s.fill.empty()) {
    set_colour(c, s.fill);
    cairo_fill_preserve(c);
  }
  if (!s.line.empty()) {
    set_colour(c, s.line);
    cairo_set_line_width(c, s.width);
    cairo_set_dash(c, s.dash.data(), static_cast<int>(s.dash.size()), 0);
    cairo_stroke_preserve(c);
  }
}

void draw(cairo_t* c, const Words& w) {
  cairo_select_font_face(c, text_family, CAIRO_FONT_SLANT_NORMAL, w.bold ? CAIRO_FONT_WEIGHT_BOLD : CAIRO_FONT_WEIGHT_NORMAL);
  cairo_set_font_size(c, w.size);
  cairo_text_extents_t extents{};
  cairo_text_extents(c, w.text.c_str(), &extents);
  const double back = w.anchor == Words::Anchor::start ? 0 : w.anchor == Words::Anchor::middle ? extents.x_advance / 2 : extents.x_advance;
  set_colour(c, w.colour);
  cairo_save(c);
  cairo_translate(c, w.at.x, w.at.y);
  if (w.upright) cairo_rotate(c, -std::acos(0.0));
  cairo_move_to(c, -back, 0);
  cairo_show_text(c, w.text.c_str());
  cairo_restore(c);
}

}  // namespace

void Drawing::line(dvec2 from, dvec2 to, const Colour& colour, double line_width, const std::vector<double>& dash) {
  shapes.push_back({{from, to}, false, "", colour, line_width, dash});
}
void Drawing::box(dvec2 lo, dvec2 hi, const Colour& fill, const Colour& edge, double line_width) {
  shapes.push_back({{lo, {hi.x, lo.y}, hi, {lo.x, hi.y}}, true, fill, edge, line_width, {}});
}
void Drawing::polygon(const std::vector<dvec2>& points, const Colour& fill) { shapes.push_back({points, true, fill, "", 0, {}}); }
void Drawing::curve(const std::vector<dvec2>& points, const Colour& colour, double line_width, const std::vector<double>& dash) {
  shapes.push_back({points, false, "", colour, line_width, dash});
}
void Drawing::say(dvec2 at, const std::string& text, double size, Words::Anchor anchor, bool bold, const Colour& colour) {
  words.push_back({at, text, size, anchor, bold, false, colour});
}

void Drawing::dimension(dvec2 from, dvec2 to, const std::string& text) {
  constexpr double stroke = 1.2, size = 2.8;
  const bool level = std::abs(from.y - to.y) < std::abs(from.x - to.x);
  line(from, to, "#000000", ink);
  // the end strokes of a building drawing, at 45 degrees
  for (dvec2 end : {from, to}) line(end + dvec2(-stroke, stroke) * 0.6, end + dvec2(stroke, -stroke) * 0.6, "#000000", 2 * ink);
  if (text.empty()) return;
  const dvec2 middle = 0.5 * (from + to);
  if (level) say(middle - dvec2(0, 1.2), text, size, Words::Anchor::middle);
  else say(middle + dvec2(1.5, 1), text, size);
}

std::string svg_text(const Drawing& d) {
  std::string out = fmt::format("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{0}mm\" height=\"{1}mm\" "
                                "viewBox=\"0 0 {0} {1}\" font-family=\"DejaVu Sans, sans-serif\">\n", number(d.width), number(d.height));
  out += fmt::format("<rect width=\"{}\" height=\"{}\" fill=\"#ffffff\"/>\n", number(d.width), number(d.height));
  for (const Shape& s : d.shapes) out += svg_of(s);
  for (const Words& w : d.words) out += svg_of(w);
  return out + "</svg>\n";
}

std::string drawings_pdf(const std::vector<Drawing>& pages) {
  constexpr double points_per_mm = 72 / mm_per_inch;
  std::string bytes;
  const auto take = [](void* to, const unsigned char* data, unsigned int length) {
    static_cast<std::string*>(to)->append(reinterpret_cast<const char*>(data), length);
    return CAIRO_STATUS_SUCCESS;
  };
  SurfacePtr surface(cairo_pdf_surface_create_for_stream(take, &bytes, 100, 100));
  cairo_pdf_surface_set_metadata(surface.get(), CAIRO_PDF_METADATA_CREATE_DATE, "2000-01-01T00:00:00Z");  // no clock in what is written
  DrawPtr c(cairo_create(surface.get()));
  use_plain_text(c.get());
  cairo_set_line_join(c.get(), CAIRO_LINE_JOIN_ROUND);
  for (const Drawing& d : pages) {
    cairo_pdf_surface_set_size(surface.get(), d.width * points_per_mm, d.height * points_per_mm);
    cairo_save(c.get());
    cairo_scale(c.get(), points_per_mm, points_per_mm);
    draw_drawing(c.get(), d);
    cairo_restore(c.get());
    cairo_show_page(c.get());
  }
  cairo_surface_finish(surface.get());
  if (cairo_status(c.get()) != CAIRO_STATUS_SUCCESS || cairo_surface_status(surface.get()) != CAIRO_STATUS_SUCCESS) throw std::runtime_error("cannot write the pages as PDF");
  return bytes;
}

void draw_drawing(cairo_t* c, const Drawing& d) {
  for (const Shape& s : d.shapes) draw(c, s);
  for (const Words& w : d.words) draw(c, w);
}

std::string drawing_png(const Drawing& d, double px_per_mm) {
  const int width = static_cast<int>(std::lround(d.width * px_per_mm)), height = static_cast<int>(std::lround(d.height * px_per_mm));
  SurfacePtr surface(cairo_image_surface_create(CAIRO_FORMAT_RGB24, width, height));
  DrawPtr c(cairo_create(surface.get()));
  if (cairo_status(c.get()) != CAIRO_STATUS_SUCCESS) throw std::runtime_error("cannot draw a picture of this size");
  use_plain_text(c.get());
  cairo_set_source_rgb(c.get(), 1, 1, 1);
  cairo_paint(c.get());
  cairo_scale(c.get(), px_per_mm, px_per_mm);
  cairo_set_line_join(c.get(), CAIRO_LINE_JOIN_ROUND);
  draw_drawing(c.get(), d);
  return png_bytes(pixels_of(surface.get()));
}

}  // namespace rakelight
