// Golden pictures: made by this program, kept to notice change, not truth. RAKELIGHT_BLESS=1 writes them anew.
#include <catch2/catch.hpp>

#include <cstdlib>
#include <filesystem>

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
  double worst = 0, sum = 0;
  Image difference(picture.width, picture.height, 1);
  for (std::size_t i = 0; i < picture.pixels.size(); ++i) {
    const double d = std::abs(picture.pixels[i] - golden.pixels[i]) / std::max(golden.pixels[i], 1.0f);
    difference.pixels[i] = static_cast<float>(d);
    worst = std::max(worst, d);
    sum += d;
  }
  const double mean = sum / static_cast<double>(picture.pixels.size());
  INFO(name << ": worst " << worst << ", mean " << mean);
  // An edge pixel may take another of its four samples when the processor rounds otherwise (a quarter of what
  // it shows); nothing else moves by more than rounding, so the mean is held a thousand times tighter.
  const bool good = worst < 0.3 && mean < 2e-4;
  if (!good) {
    const std::string there = std::string(RAKELIGHT_BUILD_DIR) + "/" + name;
    write_file(there + "-difference.exr", exr_bytes(difference));
    write_file(there + "-now.exr", exr_bytes(picture));
    WARN("see " << there << "-difference.exr and -now.exr");
  }
  CHECK(good);
}

}  // namespace

TEST_CASE("golden: the room from the door") {
  Headless context;
  check_golden(render(context, drawn_scene(), room_view(320, 180)), "room");
}

TEST_CASE("golden: the wall square on") {
  Headless context;
  check_golden(render(context, drawn_scene(), wall_view(320, 160)), "wall");
}
