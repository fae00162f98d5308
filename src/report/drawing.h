// A drawing on paper: filled shapes, lines and words in millimetres, x right and y down from the top left corner. One
// description leaves as SVG or, drawn by cairo, as PNG.
#pragma once
#include <string>
#include <vector>

#include "base/vec.h"

namespace rakelight {

/// "#rrggbb"; empty = not drawn.
using Colour = std::string;
inline const Colour board_colour = "#d5d2cb", face_colour = "#8a867d";  ///< of sections: board, and what is said of the face

struct Shape {
  std::vector<dvec2> points;
  bool closed = false;
  Colour fill, line;
  double width = 0.25;                 ///< of the line, mm
  std::vector<double> dash;            ///< lengths drawn and left out in turn, mm; empty = unbroken
};

struct Words {
  enum class Anchor { start, middle, end };
  dvec2 at{0};                         ///< on the baseline
  std::string text;
  double size = 3;                     ///< of the type, mm
  Anchor anchor = Anchor::start;
  bool bold = false, upright = false;  ///< upright: turned to read from below
  Colour colour = "#000000";
};

/// Shapes first, words over them, each in order.
struct Drawing {
  double width = 0, height = 0;        ///< of the paper, mm
  std::vector<Shape> shapes;
  std::vector<Words> words;

  void line(dvec2 from, dvec2 to, const Colour& colour, double line_width, const std::vector<double>& dash = {});
  void box(dvec2 lo, dvec2 hi, const Colour& fill, const Colour& line = "", double line_width = 0.25);
  void polygon(const std::vector<dvec2>& points, const Colour& fill);
  void curve(const std::vector<dvec2>& points, const Colour& colour, double line_width, const std::vector<double>& dash = {});
  void say(dvec2 at, const std::string& text, double size, Words::Anchor anchor = Words::Anchor::start, bool bold = false,
           const Colour& colour = "#000000");
  /// A dimension between two points on one level or upright: end strokes and its text at the middle, beside the line.
  void dimension(dvec2 from, dvec2 to, const std::string& text);
};

std::string svg_text(const Drawing& drawing);
/// A page each, their own sizes; the same bytes for the same drawings. Throws std::runtime_error when cairo cannot.
std::string drawings_pdf(const std::vector<Drawing>& pages);
/// `px_per_mm`: 8 is 203 dots an inch. Throws std::runtime_error when there is no memory for the picture.
std::string drawing_png(const Drawing& drawing, double px_per_mm = 8);

}  // namespace rakelight
