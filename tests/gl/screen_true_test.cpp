// Pictures scaled to what a screen lets see.
#include "draw/screen_true.h"

#include <catch2/catch.hpp>
#include <cmath>

#include "base/units.h"
#include "sight/sight.h"
#include "support/validated.h"

using namespace rakelight;

namespace {

constexpr float face_of_surface_0 = static_cast<float>(static_cast<int>(PixelKind::face));

/// Upright stripes of a contrast over an even face, as render_both would leave them.
Image stripes(int width, int height, double cycles_per_pixel, double contrast, double luminance) {
  Image both(width, height, 3);
  for (int y = 0; y < height; ++y)
    for (int x = 0; x < width; ++x) {
      both.at(x, y, 0) = static_cast<float>(luminance * (1 + contrast * std::sin(2 * pi * cycles_per_pixel * x)));
      both.at(x, y, 1) = static_cast<float>(luminance);
      both.at(x, y, 2) = face_of_surface_0;
    }
  return both;
}

/// Amplitude of the stripes in the middle of a picture, by projection on whole cycles.
double amplitude(const Image& picture, double cycles_per_pixel, double luminance) {
  const int cycle = static_cast<int>(std::lround(1 / cycles_per_pixel)), from = picture.width / 2 / cycle * cycle - 2 * cycle, to = from + 4 * cycle;
  double s = 0, c = 0;
  for (int x = from; x < to; ++x) {
    const double v = picture.at(x, picture.height / 2, 0) / luminance - 1;
    s += v * std::sin(2 * pi * cycles_per_pixel * x);
    c += v * std::cos(2 * pi * cycles_per_pixel * x);
  }
  return 2 * std::hypot(s, c) / (to - from);
}

}  // namespace

TEST_CASE("a screen like the site leaves a picture as it is") {
  test::Validated found("screen-true: a screen like the site", "changes nothing", "1e-5");
  const double luminance = 60, white = 120;
  const Image both = stripes(400, 40, 1.0 / 20, 0.02, luminance);
  // a pixel as wide on the screen as on site, and as light
  const ScreenPlace screen{0.6, 0.35, 120};
  const double degrees = 0.35 / 400 / 0.6 * deg_per_rad;
  const Image picture = screen_true(both, degrees, screen, white);
  for (int x = 0; x < 400; ++x) CHECK(found.share(picture.at(x, 20, 0), both.at(x, 20, 0)) == Approx(both.at(x, 20, 0)).epsilon(1e-5));
}

TEST_CASE("stripes are as many times their threshold on the screen as on site") {
  test::Validated found("screen-true: gratings", "contrast times sensitivity alike on site and screen", "15 %: octaves overlap", " %", 100);
  // visibility of a grating is contrast times sensitivity: C_screen S_screen = C_site S_site
  const double luminance = 80, white = 160, site = 0.05;
  const ScreenPlace screen{0.7, 0.4, 200};
  const double degrees = 0.4 / 640 / 0.7 * deg_per_rad;
  for (const int cycle : {8, 16, 32, 64}) {
    const double u = 1.0 / cycle, contrast = 0.03;
    const double got = amplitude(screen_true(stripes(640, 480, u, contrast, luminance), site, screen, white), u, luminance);
    const double wanted = contrast * observer_sensitivity(luminance, u / site) / observer_sensitivity(luminance / white * screen.white, u / degrees);
    // octaves overlap: a grating between two gets a mean of both gains, which an octave apart differ by up to a third here
    CHECK(found.share(got, std::clamp(wanted, contrast / 8, contrast * 8)) == Approx(std::clamp(wanted, contrast / 8, contrast * 8)).epsilon(0.15));
  }
}

TEST_CASE("what is no face is left alone, and no luminance is negative") {
  Image both = stripes(64, 64, 1.0 / 8, 0.9, 50);
  for (int y = 0; y < 64; ++y) both.at(3, y, 2) = static_cast<float>(static_cast<int>(PixelKind::glass));
  const Image picture = screen_true(both, 0.2, {0.3, 0.6, 300}, 100);
  for (int y = 0; y < 64; ++y) CHECK(picture.at(3, y, 0) == both.at(3, y, 0));
  for (const float v : picture.pixels) CHECK(v >= 0);
}
