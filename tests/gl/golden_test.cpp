// Golden pictures: made by this program, kept to notice change, not truth. RAKELIGHT_BLESS=1 writes them anew.
#include <catch2/catch.hpp>

#include <cstdlib>
#include <filesystem>

#include "gl/metric.h"
#include "gl/stage.h"
#include "report/report.h"

using namespace rakelight;
using namespace rakelight::testing;

namespace {

void check_golden(const Image& picture, const std::string& name) {
  const std::string path = std::string(RAKELIGHT_SOURCE_DIR) + "/tests/golden/" + name + ".exr";
  const char* bless = std::getenv("RAKELIGHT_BLESS");
  if (bless != nullptr && bless == std::string("1")) {
    write_file(path, exr_bytes(picture));
    WARN("blessed " << path);
    return;
  }
  const Image golden = read_exr(path);
  REQUIRE(golden.width == picture.width);
  REQUIRE(golden.height == picture.height);
  const Distance d = distance_between(picture, golden);
  INFO(name << ": worst " << d.worst << ", mean " << d.mean);
  const bool good = close_enough(d);
  if (!good) {
    const std::string there = std::string(RAKELIGHT_BUILD_DIR) + "/" + name;
    write_file(there + "-difference.exr", exr_bytes(d.difference));
    write_file(there + "-now.exr", exr_bytes(picture));
    WARN("see " << there << "-difference.exr and -now.exr");
  }
  CHECK(good);
}

}  // namespace

TEST_CASE("the measure of golden pictures notices what it should") {
  Image golden(100, 100, 1);
  std::fill(golden.pixels.begin(), golden.pixels.end(), 50.0f);
  golden.pixels[0] = 0.5f;
  Image picture = golden;
  CHECK(distance_between(picture, golden).worst == 0);
  CHECK(close_enough(distance_between(picture, golden)));
  // by hand: 5 of 50 is a tenth, a hundred pixels of ten thousand make a mean of a thousandth
  for (std::size_t i = 200; i < 300; ++i) picture.pixels[i] = 45.0f;
  CHECK(distance_between(picture, golden).worst == Approx(0.1));
  CHECK(distance_between(picture, golden).mean == Approx(0.001));
  CHECK(distance_between(picture, golden).difference.pixels[250] == Approx(0.1f));
  CHECK_FALSE(close_enough(distance_between(picture, golden)));
  // one edge pixel may be a quarter off, not a third; in the dark it is cd/m² that count
  picture = golden;
  picture.pixels[700] = 62.0f;
  picture.pixels[0] = 0.6f;
  CHECK(close_enough(distance_between(picture, golden)));
  CHECK(distance_between(picture, golden).difference.pixels[0] == Approx(0.1f));
  picture.pixels[700] = 67.0f;
  CHECK_FALSE(close_enough(distance_between(picture, golden)));
  // what is no number never passes; one picture shifted by a pixel does not either
  picture = golden;
  picture.pixels[700] = std::nanf("");
  CHECK_FALSE(close_enough(distance_between(picture, golden)));
  for (int y = 0; y < 100; ++y)
    for (int x = 0; x < 100; ++x) golden.at(x, y, 0) = x < 50 ? 40.0f : 50.0f;
  picture = golden;
  for (int y = 0; y < 100; ++y) picture.at(50, y, 0) = 40.0f;
  CHECK_FALSE(close_enough(distance_between(picture, golden)));
}

TEST_CASE("golden: the room from the door") {
  Headless context;
  check_golden(render(context, drawn_scene(), room_view(320, 180)), "room");
}

TEST_CASE("golden: the wall square on") {
  Headless context;
  check_golden(render(context, drawn_scene(), wall_view(320, 160)), "wall");
}
