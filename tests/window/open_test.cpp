// The window opens, says what it found, and shows a picture of it.
#include <catch2/catch.hpp>

#include "script.h"
#include "window/words.h"

namespace rakelight {

TEST_CASE("The program alone opens a copy of the demo at its worst time, with picture, caption, findings and answer") {
  const char* folder = std::getenv("RAKELIGHT_WINDOW_PICTURES");
  Script s("", 1440, 900, "en", folder ? 1 : 4);
  s.until([&] { return s.window.found() && s.window.found()->assessment; });
  s.settle();
  const Found& found = *s.window.found();
  const auto worst = worst_of(*found.assessment, found.study->room);
  REQUIRE(worst);
  const Model& m = s.window.model();
  CHECK(m.joint == worst->joint->joint.line.id);
  CHECK(*m.moment->name == *found.study->job.moments[static_cast<std::size_t>(worst->seen->moment)].name);
  CHECK(m.place->viewer == found.study->viewers[static_cast<std::size_t>(worst->seen->viewer)].name);
  for (const char* name : {"question 1", "question 4", "answer", "picture", "caption", "year"}) CHECK(s.window.spot(name));
  CHECK(s.window.spot("joint " + m.joint));
  REQUIRE(s.window.pictures());
  CHECK(s.window.pictures()->coarseness == 1);
  CHECK(s.window.complaints() == "");
  if (folder) s.save_screen(std::string(folder) + "/window-open.png");
}

}  // namespace rakelight
