// Pictures of the window, kept to notice what moves, is cut off or goes missing; not truth. RAKELIGHT_BLESS=1 writes them anew.
#include <catch2/catch.hpp>

#include <cmath>
#include <cstdlib>

#include "script.h"
#include "small_job.h"
#include "support/read_png.h"

namespace rakelight {
namespace {

constexpr int side = 24;              // pixels of a tile: about two lines of text
constexpr float other = 24;           // levels: what two pictures of one physics, a digit of V apart, keep within in their shades
// A figure that changes its digits, a stroke of the chart that ends elsewhere and the edge of a shadow that moves by a pixel alter some of a
// tile; a button, a word or a region that moves, is cut off or is gone alters most of one.
constexpr double most_of_tile = 0.45;
// The picture takes a third of these windows; were it another, or the layout, far more would differ than its few edges.
constexpr double most_of_all = 0.03;

struct Difference { double all = 0, tile = 0; Image marked; };

Difference difference_of(const Image& a, const Image& b) {
  Difference d;
  d.marked = Image(a.width, a.height, 1);
  std::size_t count = 0;
  for (int y0 = 0; y0 < a.height; y0 += side)
    for (int x0 = 0; x0 < a.width; x0 += side) {
      int differs = 0, pixels = 0;
      for (int y = y0; y < std::min(y0 + side, a.height); ++y)
        for (int x = x0; x < std::min(x0 + side, a.width); ++x) {
          float most = 0;
          for (int c = 0; c < 3; ++c) most = std::max(most, std::abs(a.at(x, y, c) - b.at(x, y, c)));
          d.marked.at(x, y, 0) = most;
          differs += most > other;
          ++pixels;
        }
      count += static_cast<std::size_t>(differs);
      if (pixels >= side * side / 2) d.tile = std::max(d.tile, static_cast<double>(differs) / pixels);
    }
  d.all = static_cast<double>(count) / (static_cast<double>(a.width) * a.height);
  return d;
}

void check_golden(Script& s, const std::string& name) {
  s.in.mouse = dvec2(-1);
  s.settle();
  const Image now = s.window.screen();
  const std::string path = std::string(RAKELIGHT_SOURCE_DIR) + "/tests/golden/window-" + name + ".png";
  const char* bless = std::getenv("RAKELIGHT_BLESS");
  if (bless && bless == std::string("1")) {
    write_file(path, png_bytes(now));
    WARN("blessed " << path);
    return;
  }
  const Image golden = testing::read_png(read_bytes(path).value_or(""), 3);
  REQUIRE(golden.width == now.width);
  REQUIRE(golden.height == now.height);
  const Difference d = difference_of(now, golden);
  const bool good = d.all < most_of_all && d.tile < most_of_tile;
  const std::string there = std::string(RAKELIGHT_BUILD_DIR) + "/window-" + name;
  INFO(name << ": " << 100 * d.all << " % differ, of the worst tile " << 100 * d.tile << " %; see " << there << "-now.png and -difference.png");
  if (!good) {
    write_file(there + "-now.png", png_bytes(now));
    write_file(there + "-difference.png", png_bytes(d.marked));
  }
  CHECK(good);
}

}  // namespace

TEST_CASE("golden: the window with a wall, a pair, its keys, and the plan in German") {
  const JobFile job("golden");
  Script s(job.path(), 960, 600);
  s.until([&] { return judged(s); });
  check_golden(s, "when");
  s.key('3');
  check_golden(s, "way-round");
  s.key('L', true);
  check_golden(s, "way-round-de");
  s.key('1');
  s.key('P');
  check_golden(s, "plan-de");
  s.key('P');
  s.key(press::f1);
  check_golden(s, "keys-de");
  CHECK(s.window.complaints() == "");
}

TEST_CASE("A button gone and a line moved are seen by the comparison with goldens; another figure is not") {
  Image a(240, 120, 3);
  for (float& p : a.pixels) p = 168;
  const auto box = [](Image image, int x0, int y0, int x1, int y1, float level) {
    for (int y = y0; y < y1; ++y)
      for (int x = x0; x < x1; ++x)
        for (int c = 0; c < 3; ++c) image.at(x, y, c) = level;
    return image;
  };
  // 60 x 24 pixels, as a button's ground and letters; 4 x 9, as of a digit
  CHECK(difference_of(a, box(a, 50, 50, 110, 74, 120)).tile > most_of_tile);
  CHECK(difference_of(a, box(a, 50, 50, 54, 59, 16)).tile < most_of_tile);
  CHECK(difference_of(a, box(a, 0, 0, 240, 12, 16)).all > most_of_all);
}

}  // namespace rakelight
