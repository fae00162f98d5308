// PNG and EXR bytes, captions and headings.
#include <catch2/catch.hpp>

#include <cmath>
#include <cstring>
#include <filesystem>
#include <limits>

#include "report/report.h"
#include "support/read_png.h"

using namespace rakelight;
using rakelight::testing::read_png;

namespace {

Image ramp(int width, int height, int channels) {
  Image image(width, height, channels);
  for (std::size_t i = 0; i < image.pixels.size(); ++i) image.pixels[i] = static_cast<float>((i * 7) % 256);
  return image;
}

int count_other_than(const Image& image, int top, int bottom, float level) {
  int n = 0;
  for (int y = top; y < bottom; ++y)
    for (int x = 0; x < image.width; ++x)
      if (image.at(x, y, 0) != level) ++n;
  return n;
}

}  // namespace

TEST_CASE("PNG: every level comes back, in grey and in colour, and equal pictures give equal bytes") {
  for (int channels : {1, 3}) {
    const Image image = ramp(37, 11, channels);
    const std::string bytes = png_bytes(image);
    CHECK(read_png(bytes, channels).pixels == image.pixels);
    CHECK(png_bytes(image) == bytes);
    // PNG specification 11.3.3.5: the sRGB chunk says how the levels are meant
    CHECK(bytes.find("sRGB") != std::string::npos);
    CHECK(bytes.find("tIME") == std::string::npos);
  }
}

TEST_CASE("EXR: 32-bit luminance comes back bit for bit") {
  Image image(29, 17, 1);
  for (std::size_t i = 0; i < image.pixels.size(); ++i) image.pixels[i] = std::exp(static_cast<float>(i) * 0.04f - 9.0f);
  image.pixels[3] = 0.0f;
  image.pixels[4] = std::numeric_limits<float>::denorm_min();
  const std::string path = (std::filesystem::temp_directory_path() / "rakelight-exr-test.exr").string();
  write_file(path, exr_bytes(image));
  const Image back = read_exr(path);
  std::filesystem::remove(path);
  REQUIRE(back.width == image.width);
  REQUIRE(back.height == image.height);
  REQUIRE(back.channels == 1);
  CHECK(std::memcmp(back.pixels.data(), image.pixels.data(), image.pixels.size() * sizeof(float)) == 0);
  CHECK(exr_bytes(image) == exr_bytes(image));
  CHECK(exr_bytes(image).find("cd/m2") != std::string::npos);
}

TEST_CASE("EXR: a file that is none is named") {
  CHECK_THROWS_WITH(read_exr("/nowhere/x.exr"), Catch::Contains("cannot read /nowhere/x.exr"));
}

TEST_CASE("a caption leaves the picture as it is and adds a strip below with its words") {
  for (int width : {320, 640, 1920}) {
    const Image picture = ramp(width, 90, 1);
    const Image out = with_caption(picture, {"evening sun, 21 June 20:40 +01:00 · clear sky · seen from the doorway",
                                             "white = 310 cd/m² · true shade"});
    REQUIRE(out.width == width);
    REQUIRE(out.height > 90);
    for (int y = 0; y < 90; ++y)
      for (int x = 0; x < width; ++x) REQUIRE(out.at(x, y, 0) == picture.at(x, y, 0));
    const float ground = out.at(0, 90, 0);
    CHECK(ground < 80);
    CHECK(count_other_than(out, 90, out.height, ground) > 200);
    // words stay inside: a margin on the left and right carries none
    for (int y = 90; y < out.height; ++y) {
      CHECK(out.at(width - 1, y, 0) == ground);
      CHECK(out.at(1, y, 0) == ground);
    }
  }
}

TEST_CASE("a long caption wraps to at most three lines") {
  std::string words;
  for (int i = 0; i < 60; ++i) words += "seen from the doorway ";
  const Image one = with_caption(ramp(640, 40, 1), {"short"});
  const Image many = with_caption(ramp(640, 40, 1), {words});
  CHECK(many.height < 40 + 3 * (one.height - 40));
}

TEST_CASE("pictures that are compared keep their pixels, side by side or stacked when wide") {
  const Image tall = ramp(100, 80, 1), wide = ramp(200, 80, 1);
  const Image beside = side_by_side({tall, tall, tall}, {"level 3", "level 4", "level 5"});
  CHECK(beside.width == 3 * 100 + 2 * 2);
  const int strip = beside.height - 80;
  CHECK(strip > 8);
  for (int i = 0; i < 3; ++i)
    for (int y = 0; y < 80; ++y) REQUIRE(beside.at(i * 102 + 50, strip + y, 0) == tall.at(50, y, 0));
  // aspect 2.5 is over 1.6
  const Image stacked = side_by_side({wide, wide}, {"level 3", "level 5"});
  CHECK(stacked.width == 200);
  CHECK(stacked.height > 2 * 80 + 2);
  const int second = stacked.height - 80;
  for (int x = 0; x < 200; ++x) REQUIRE(stacked.at(x, second + 7, 0) == wide.at(x, 7, 0));
}
