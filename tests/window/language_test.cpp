// The window in another language: chosen at the start, by key and in the help; what it draws then has no gaps.
#include <catch2/catch.hpp>

#include "script.h"
#include "small_job.h"

namespace rakelight {

TEST_CASE("The window speaks the language that it is asked for, and changes it by key and in the help") {
  const JobFile job("language");
  Script s(job.path(), 1280, 800, "de");
  const Model& m = s.window.model();
  s.key('Z', true);
  CHECK(m.notice == "nichts zurückzunehmen");
  s.key('L', true);
  CHECK(m.notice == "");
  s.key('Z', true);
  CHECK(m.notice == "nothing to undo");
  s.key(press::f1);
  s.frames(2);
  s.click("language de");
  s.key('Z', true);
  CHECK(m.notice == "nichts zurückzunehmen");
  s.click("language en");
  s.key('Z', true);
  CHECK(m.notice == "nothing to undo");
  CHECK(s.window.complaints() == "");
}

}  // namespace rakelight
