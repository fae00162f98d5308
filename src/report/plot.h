// A chart drawn in pixels: boxes, lines and words over a ground, by cairo.
#pragma once
#include <array>
#include <string>
#include <vector>

#include "base/image.h"
#include "base/vec.h"
#include "report/plain_text.h"

namespace rakelight {

/// sRGB, 0 to 255.
using Tone = std::array<double, 3>;
/// From a (share 0) to b (1).
Tone mixed(const Tone& a, const Tone& b, double share);

/// Pixels from the top left corner. Words are light on a dark ground unless a tone is given.
class Plot {
 public:
  /// Throws std::runtime_error when there is no memory for it.
  Plot(int width, int height, const Tone& ground, const Tone& words);
  int width() const { return width_; }
  int height() const { return height_; }
  void box(double x, double y, double w, double h, const Tone& t);
  void frame(double x, double y, double w, double h, double line, const Tone& t);
  void line(dvec2 from, dvec2 to, double line, const Tone& t, const std::vector<double>& dash = {});
  /// Puts pixels in as they are: three channels, 0 to 255.
  void put(int x, int y, const Image& pixels);
  /// align: 0 left, 0.5 middle, 1 right. `behind`: a soft edge of that tone round the words, for words over a picture.
  void text(double x, double baseline, double size, const std::string& words, double align = 0, bool bold = false);
  void text_over(double x, double baseline, double size, const std::string& words, double align, const Tone& tone, const Tone& behind);
  double width_of(const std::string& words, double size, bool bold = false);
  Image image() const;

 private:
  void face(double size, bool bold);
  int width_, height_;
  Tone words_;
  SurfacePtr surface_;
  DrawPtr draw_;
};

}  // namespace rakelight
