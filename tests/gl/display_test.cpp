// From luminance to grey levels.
#include "kernel/display.h"

#include <catch2/catch.hpp>

#include <cmath>

#include "draw/draw.h"

using namespace rakelight;

namespace {

double mean_level(double luminance, double white) {
  Image flat(512, 512, 1);
  for (float& p : flat.pixels) p = static_cast<float>(luminance);
  double sum = 0;
  for (float v : display(flat, white).pixels) sum += v;
  return sum / (512.0 * 512.0);
}

/// Inverse of the sRGB curve, IEC 61966-2-1:1999 clause 5.2.
double linear_from_level(double level) {
  const double code = level / 255;
  return code <= 0.04045 ? code / 12.92 : std::pow((code + 0.055) / 1.055, 2.4);
}

}  // namespace

TEST_CASE("sRGB curve at published points") {
  // IEC 61966-2-1: code of linear 0, 0.0031308, 1; of 0.2140 (code 0.5) and 0.18 (code 0.4614, level 117.6)
  CHECK(kernel::srgb_code(0.0) == 0.0);
  CHECK(kernel::srgb_code(1.0) == Approx(1.0).epsilon(1e-12));
  CHECK(kernel::srgb_code(0.0031308) == Approx(0.0404500).epsilon(1e-5));
  CHECK(kernel::srgb_code(0.21404114) == Approx(0.5).epsilon(1e-7));
  CHECK(kernel::srgb_code(0.18) == Approx(0.46135612).epsilon(1e-6));
  // the two pieces meet to 1e-7: the standard's own constants are rounded to that
  CHECK(std::abs(1.055 * std::pow(0.0031308, 1 / 2.4) - 0.055 - 12.92 * 0.0031308) < 1e-7);
}

TEST_CASE("the display curve is straight up to its knee, smooth above and never turns back") {
  // below the knee, output over signal is the same everywhere: shade keeps its proportion
  for (double s : {0.01, 0.1, 0.3, 0.6, 0.666}) CHECK(kernel::display_shoulder(s) == Approx(1.2 * s).epsilon(1e-12));
  CHECK(kernel::display_shoulder(1.0) == 1.0);
  CHECK(kernel::display_shoulder(50.0) == 1.0);
  double last = -1;
  for (int i = 0; i <= 1200; ++i) {
    const double s = i / 1000.0, y = kernel::display_shoulder(s);
    CHECK(y >= last);
    last = y;
    // slope continuous: differences over 1e-6 change by less than the second derivative (3.6) times 1e-6
    const double before = (kernel::display_shoulder(s) - kernel::display_shoulder(s - 1e-6)) / 1e-6;
    const double after = (kernel::display_shoulder(s + 1e-6) - kernel::display_shoulder(s)) / 1e-6;
    if (i > 0) CHECK(std::abs(after - before) < 1e-5);
  }
}

TEST_CASE("a step of 1 % survives 8 bits in the mean, at every brightness") {
  // Without dither a 1 % step vanishes at many levels. The mean over 512² pixels must be right to 0.04 levels:
  // each pixel's error has variance 1/4 (rounding and triangular noise together), so the mean's is 0.001.
  for (double signal : {0.02, 0.05, 0.11, 0.2, 0.31, 0.45, 0.6}) {
    for (double luminance : {200 * signal, 200 * signal * 1.01}) {
      const double exact = 255 * kernel::srgb_code(1.2 * luminance / 200);
      CHECK(std::abs(mean_level(luminance, 200) - exact) < 0.04);
    }
    // brightness averages in light, not in levels: the contrast seen is right to 0.04 points where a level
    // is under 4 % of the light (above signal 0.1); darker, levels are coarser
    if (signal > 0.1) {
      auto light = [&](double l) {
        Image flat(512, 512, 1);
        for (float& p : flat.pixels) p = static_cast<float>(l);
        double sum = 0;
        for (float v : display(flat, 200).pixels) sum += linear_from_level(v);
        return sum / (512.0 * 512.0);
      };
      CHECK(std::abs(light(200 * signal * 1.01) / light(200 * signal) - 1.01) < 0.0004);
    }
  }
}

TEST_CASE("dither is fixed, triangular and without pattern") {
  double sum = 0, squares = 0, beside = 0;
  const int n = 512;
  for (unsigned y = 0; y < n; ++y)
    for (unsigned x = 0; x < n; ++x) {
      const double d = kernel::display_dither(x, y);
      REQUIRE(std::abs(d) <= 1.0);
      sum += d;
      squares += d * d;
      beside += d * kernel::display_dither(x + 1, y);
    }
  const double count = double(n) * n;
  // triangular on (-1, 1): mean 0, variance 1/6; bounds are five standard errors of 2^18 samples
  CHECK(std::abs(sum / count) < 5 * std::sqrt(1 / 6.0 / count));
  CHECK(std::abs(squares / count - 1 / 6.0) < 5 * 0.2 / std::sqrt(count));
  CHECK(std::abs(beside / count) < 5 * (1 / 6.0) / std::sqrt(count));
  Image image(3, 2, 1);
  for (float& p : image.pixels) p = 40;
  CHECK(display(image, 100).pixels == display(image, 100).pixels);
}

TEST_CASE("exposure of a picture: nine tenths of it lie below the knee") {
  Image ramp(1000, 1, 1);
  for (int x = 0; x < 1000; ++x) ramp.at(x, 0, 0) = static_cast<float>(x);
  CHECK(exposure_for(ramp) == Approx(899 * 1.5));
  Image black(4, 4, 1);
  const double white = exposure_for(black);
  CHECK(white > 0);
  for (float v : display(black, white).pixels) CHECK(v <= 1);
}
