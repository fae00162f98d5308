// Figures of the window for docs/validation.md: printed, not judged, since they are the machine's as much as ours.
#include <catch2/catch.hpp>

#include <fmt/format.h>
#include <iostream>

#include "script.h"

namespace rakelight {

TEST_CASE("Figures: time to the first picture of the demo, longest frame through the four questions", "[.figures]") {
  Script s("", 1440, 900, "en", 1);
  s.until([&] { return s.window.first_picture() >= 0; });
  std::cout << fmt::format("first picture after {:.2f} s\n", s.window.first_picture());
  s.until([&] { return s.window.found() && s.window.found()->assessment; });
  const double opening = s.window.longest_frame();
  for (const int key : {'1', '2', '3', '4'}) {
    s.key(key);
    s.settle(900);
  }
  s.click("use gap");
  s.settle(900);
  s.key('P', true);
  s.settle(900);
  std::cout << fmt::format("longest frame {:.0f} ms while opening, {:.0f} ms in all\n", 1000 * opening, 1000 * s.window.longest_frame());
  CHECK(s.window.complaints() == "");
}

}  // namespace rakelight
