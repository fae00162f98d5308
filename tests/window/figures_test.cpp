// Figures of the window for docs/validation.md: printed, not judged, since they are the machine's as much as ours.
#include <catch2/catch.hpp>

#include <ctime>
#include <fmt/format.h>
#include <iostream>

#include "draw/renderer.h"
#include "embedded_assets.h"
#include "script.h"

namespace rakelight {

namespace {
/// Of all threads of the program, s.
double processor() { return static_cast<double>(std::clock()) / CLOCKS_PER_SEC; }
}  // namespace

TEST_CASE("Figures: the processor time that goes into the first picture of the demo, by its parts", "[.figures]") {
  double from = processor();
  const auto part = [&](const char* name) {
    std::cout << fmt::format("  {}: {:.2f} s\n", name, processor() - from);
    from = processor();
  };
  {
    // by the window's own loop: a script's frames would take their share
    WindowOptions options;
    options.width = 1440, options.height = 900;
    AppWindow window(options);
    part("opening");
    std::thread watcher([&] {
      while (window.first_picture() < 0) std::this_thread::sleep_for(std::chrono::milliseconds(2));
      window.end();
    });
    window.run();
    watcher.join();
    part("until the first picture");
    std::cout << fmt::format("  it came after {:.2f} s\n", window.first_picture());
  }
  from = processor();
  Diagnostics diagnostics;
  const auto job = read_job(JobText(std::string(embedded_assets("demo/home.toml"))), diagnostics);
  REQUIRE(job);
  LightDetail coarse;
  coarse.patch = 0.5;
  part("of that, reading the job");
  const auto study = make_study(*job, diagnostics, coarse);
  REQUIRE(study);
  part("its study");
  coarse.grid = 0.15;
  for (int i = 0; i < static_cast<int>(study->room.surfaces.size()); ++i) coarse.fields.push_back(i);
  const auto fields = with_fields(study->job, study->room, *study->basis, coarse);
  part("fields for pictures");
  const Lighting lighting = make_lighting(study->job, study->room, fields, study->moments.front());
  part("light of the moment");
  const auto reliefs = make_reliefs(*study);
  part("reliefs");
  const Scene scene = make_scene(study->room, lighting, reliefs, study->paints);
  part("the scene's table");
  CHECK(!scene.rows.empty());
}

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
