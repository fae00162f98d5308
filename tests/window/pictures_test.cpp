// The pictures of docs/user/window.md: run by docs/user/window-pictures.sh.
#include <catch2/catch.hpp>
#include <cstdlib>

#include "script.h"

namespace rakelight {

TEST_CASE("Pictures of the four questions", "[.pictures]") {
  const char* folder = std::getenv("RAKELIGHT_WINDOW_PICTURES");
  REQUIRE(folder);
  const char* language = std::getenv("RAKELIGHT_WINDOW_LANGUAGE");
  Script s("", 1440, 900, language ? language : "en", 1);
  s.until([&] { return s.window.found() && s.window.found()->assessment; });
  s.settle(900);
  static constexpr const char* names[] = {"when", "finish", "way-round", "measured"};
  for (int i = 0; i < 4; ++i) {
    s.key('1' + i);
    if (i == 3) {
      s.key('F');  // away from the last question's place
      s.key('W');
    }
    s.in.mouse = dvec2(-1);  // over nothing that has a tooltip
    s.settle(900);
    s.save_screen(std::string(folder) + "/window-" + names[i] + ".png");
  }
  s.key('1');
  s.key('P');
  s.settle(900);
  if (const char* more = std::getenv("RAKELIGHT_WINDOW_MORE")) {
    s.save_screen(std::string(more) + "/window-plan.png");
    s.key('P');
    s.key(290);
    s.frames(3);
    s.save_screen(std::string(more) + "/window-help.png");
    s.key(256);
    s.click("start my room");
    s.save_screen(std::string(more) + "/window-start.png");
  }
  CHECK(s.window.complaints() == "");
}

}  // namespace rakelight
