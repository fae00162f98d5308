// Pictures of every question and of what lies over it, at many looked_at, in every language: for eyes. Hidden;
// RAKELIGHT_WINDOW_LOOKING=FOLDER window_tests "[.looking]", in a display of 3300 x 2500.
#include <catch2/catch.hpp>
#include <cstdlib>
#include <fmt/format.h>
#include <fstream>

#include "base/say.h"
#include "script.h"
#include "small_job.h"
#include "window/keeper.h"

namespace rakelight {
namespace {

struct ScreenSize { int wide, high; double scale; };
constexpr ScreenSize looked_at[] = {{1600, 1200, 1}, {1280, 800, 1}, {1024, 720, 1}, {960, 640, 1}, {1600, 1200, 2}, {1920, 1280, 2}};
constexpr int most_wide = 1920, most_high = 1280;

class Look {
 public:
  Look(const std::string& job, const std::string& folder) : s(job, most_wide, most_high, "en", 4), folder_(folder) {}

  void show(ScreenSize size) {
    s.in.width = s.in.pixels_wide = size.wide;
    s.in.height = s.in.pixels_high = size.high;
    s.in.scale = size.scale;
    s.in.mouse = dvec2(-1);
    s.frames(3);
  }
  /// A picture of a window of that size, which fills the lower left of the display's.
  void take(const std::string& name, ScreenSize size, bool rest = true) {
    show(size);
    if (rest) s.settle(900);
    const Image all = s.window.screen();
    Image part(size.wide, size.high, 3);
    for (int y = 0; y < size.high; ++y)
      for (int x = 0; x < size.wide; ++x)
        for (int c = 0; c < 3; ++c) part.at(x, y, c) = all.at(x, y + all.height - size.high, c);
    write_file(fmt::format("{}/{}-{}-{}x{}{}.png", folder_, name, language(), size.wide, size.high, size.scale > 1 ? "-hidpi" : ""), png_bytes(part));
  }
  void speak(const std::string& code) {
    while (language() != code) s.key('L', true);
  }

  Script s;

 private:
  std::string folder_;
};

}  // namespace

TEST_CASE("Looking: the four questions of the demo", "[.looking]") {
  const char* folder = std::getenv("RAKELIGHT_WINDOW_LOOKING");
  REQUIRE(folder);
  Look look("", folder);
  Script& s = look.s;
  s.until([&] { return s.window.found() && s.window.found()->assessment; });
  s.settle(900);
  for (const char* code : {"en", "de"}) {
    look.speak(code);
    for (int i = 0; i < 4; ++i) {
      s.key('1' + i);
      for (const ScreenSize& size : looked_at) look.take(fmt::format("question-{}", i + 1), size);
    }
    s.key('1');
  }
  CHECK(s.window.complaints() == "");
}

TEST_CASE("Looking: what lies over the questions", "[.looking-over]") {
  const char* folder = std::getenv("RAKELIGHT_WINDOW_LOOKING");
  REQUIRE(folder);
  const JobFile job("looking", with_hand_lamp());
  std::ofstream(job.folder / "lamp.ies") << small_lamp_file;
  std::ofstream(job.folder / "section.csv") << "offset_mm,height_mm\n-300,0\n-200,0.3\n-100,0.8\n0,1.1\n100,0.8\n200,0.3\n300,0\n";
  constexpr ScreenSize large{1280, 800, 1}, small{960, 640, 1};
  {
    Look look(job.path(), folder);
    Script& s = look.s;
    look.take("busy", large, false);
    s.until([&] { return s.window.found() && s.window.found()->assessment; });
    s.settle(900);
    for (const char* code : {"en", "de"}) {
      look.speak(code);
      const auto both = [&](const std::string& name) {
        for (const ScreenSize& size : {large, small}) look.take(name, size);
      };
      s.key('1');
      both("small");
      s.key('J');
      both("drawer");
      s.key('J');
      s.key(press::f1);
      both("help");
      s.key(press::escape);
      s.key('P');
      both("plan");
      s.key('P');
      s.key('E');
      both("sheet");
      s.key('E');
      s.key('O', true);
      both("open");
      s.key('O', true);
      s.key('S', true, true);
      both("save-as");
      s.key(press::escape);
      look.show(large);
      s.click("start my room");
      both("start");
      s.key(press::escape);
      s.in.dropped = {(job.folder / "lamp.ies").string()};
      s.frame();
      both("photometry");
      s.key(press::escape);
      s.key('G');
      s.key(press::up);
      both("walking");
      s.key('N');
      both("place");
      s.key(press::escape);
      s.key(press::escape);
      s.key('T');
      look.take("playing", large, false);
      s.key('T');
      look.show(large);
      s.click("moments");
      s.click("moment 2");
      while (!s.window.model().place->only_facing() || s.window.model().place->facing != "long") s.key('F');
      both("hand-lamp");
      s.key('4');
      s.key('J');
      s.settle(900);
      look.show(large);
      s.fill("measured csv", (job.folder / "section.csv").string());
      s.frames(2);
      s.click("use csv");
      s.settle(900);
      both("measured-csv");
      s.key('Z', true);
      s.key('J');
      s.key('2');
      s.key('P', true);
      both("notice");
      s.key('1');
    }
    CHECK(s.window.complaints() == "");
  }
  std::string broken = small_job;
  broken.replace(broken.find("height = 2400"), 13, "hight = 2400");
  const JobFile other("looking-broken", broken);
  std::string bare = small_job;
  bare.erase(bare.find("[[surface]]"), bare.find("[finishing]") - bare.find("[[surface]]"));
  const JobFile third("looking-bare", bare);
  for (const auto& [name, path] : {std::pair{"broken", other.path()}, std::pair{"bare", third.path()}}) {
    Look look(path, folder);
    for (const char* code : {"en", "de"}) {
      look.speak(code);
      for (const ScreenSize& size : {large, small}) look.take(name, size, name == std::string("bare"));
    }
  }
}

TEST_CASE("Looking: what the keeper asks", "[.looking-kept]") {
  const char* folder = std::getenv("RAKELIGHT_WINDOW_LOOKING");
  REQUIRE(folder);
  constexpr ScreenSize large{1280, 800, 1}, small{960, 640, 1};
  // after a program that ended unsaved, and where others wrote the same line
  const JobFile lost("looking-lost", small_job), shared("looking-shared", small_job);
  {
    Model m(small_job, lost.path());
    Keeper ended((lost.folder / "state").string());
    ended.take_up(m);
    REQUIRE(m.edit({{"room", "", "height", "2500"}}));
    ended.keep(m, 0);
  }
  for (const bool clash : {false, true}) {
    Look look(clash ? shared.path() : lost.path(), folder);
    Script& s = look.s;
    s.settle(900);
    if (clash) {
      s.key('E');
      s.click("section room");
      s.fill("key room.height", "2500");
      std::string theirs = small_job;
      theirs.replace(theirs.find("height = 2400"), 13, "height = 2600");
      std::ofstream(shared.path(), std::ios::binary) << theirs;
      for (int i = 0; i < 90; ++i) s.frame();
    }
    for (const char* code : {"en", "de"}) {
      look.speak(code);
      for (const ScreenSize& size : {large, small}) look.take(clash ? "clash" : "recovery", size);
    }
  }
}

}  // namespace rakelight
