// At rest the window draws nothing and uses no processor.
#include <catch2/catch.hpp>

#include <atomic>
#include <cmath>
#include <thread>

#include "script.h"
#include "small_job.h"

namespace rakelight {

TEST_CASE("A window at rest sleeps until something happens; playing and typing wake it as often as they need") {
  const JobFile job("rest");
  Script s(job.path(), 960, 640, "en", 16);
  s.settle();
  CHECK(std::isinf(s.window.rest()));
  s.key('T');
  CHECK(s.window.rest() == 0.25);  // a step of the evening's film
  s.key('T');
  s.settle();
  CHECK(std::isinf(s.window.rest()));
  s.click(dvec2(s.spot("date").lo.x + 12, s.spot("date").middle().y));
  CHECK(s.window.rest() == 0.5);   // the cursor blinks
  s.key(press::escape);
  s.settle();
  CHECK(std::isinf(s.window.rest()));
}

TEST_CASE("The window's own loop comes to rest, and while nothing happens it draws no frame") {
  const JobFile job("loop");
  WindowOptions options;
  options.job = job.path();
  options.width = 960, options.height = 640;
  options.picture_pixel = 16;
  AppWindow window(options);
  std::atomic<bool> over = false;
  bool still = false;
  // a second without a frame; the display may have news of its own, so there are many goes
  std::thread watcher([&] {
    for (int go = 0; go < 300 && !still; ++go) {
      const long before = window.frames_drawn();
      bool asleep = window.asleep();
      for (int i = 0; i < 20; ++i) {
        std::this_thread::sleep_for(std::chrono::milliseconds(50));
        asleep = asleep && window.asleep();
      }
      still = asleep && before > 3 && window.frames_drawn() == before;
    }
    while (!over) {
      window.end();
      std::this_thread::sleep_for(std::chrono::milliseconds(20));
    }
  });
  window.run();
  over = true;
  watcher.join();
  CHECK(still);
  CHECK(window.found());
  CHECK(window.pictures());
  CHECK(window.complaints() == "");
}

}  // namespace rakelight
