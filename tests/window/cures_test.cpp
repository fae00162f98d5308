// The least work in the window: searched when asked for, tried at the right, applied as one step.
#include <catch2/catch.hpp>

#include "script.h"
#include "small_job.h"

namespace rakelight {

TEST_CASE("The least work is searched when asked for; Try shows it at the right, Apply is one undo step") {
  const JobFile job("cures");
  Script s(job.path(), 1440, 1600);
  const auto found = [&] { return s.window.found(); };
  s.until([&] { return found() && found()->advice; });
  CHECK_FALSE(found()->counsel);
  s.click("find cures");
  s.until([&] { return found()->counsel && found()->text == s.window.model().history.now().text; });
  const std::shared_ptr<const Counsel> counsel = found()->counsel;
  const SurfaceCures& cures = counsel->surfaces.front().cures;
  INFO(cures.reasons.front());
  REQUIRE(cures.needed);
  REQUIRE_FALSE(cures.mixes.empty());
  const std::string before = s.window.model().history.now().text;

  s.click("try cure 1");
  INFO(s.window.model().notice);
  CHECK(s.window.model().history.now().text == before);
  REQUIRE(s.window.model().right_text());
  // the file so changed is the mix that was looked at
  Diagnostics diagnostics;
  const auto changed = read_job(JobText(*s.window.model().right_text()), diagnostics);
  REQUIRE(changed);
  const auto study = make_study(*changed, diagnostics);
  REQUIRE(study);
  const Assessment real = assess(*study);
  CHECK(real.surfaces.front().chance_any_shows == Approx(cures.mixes.front().outcome.chance).epsilon(0.15).margin(0.01));
  s.key('Z', true);
  CHECK_FALSE(s.window.model().right_text());

  s.click("apply cure 1");
  INFO(s.window.model().notice);
  CHECK(s.window.model().history.now().text != before);
  s.key('Z', true);
  CHECK(s.window.model().history.now().text == before);
}

}  // namespace rakelight
