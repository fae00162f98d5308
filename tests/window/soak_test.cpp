// Random events, seeded: whatever is pressed, dragged and typed, the window stands and the job stays sound.
#include <catch2/catch.hpp>

#include "base/random.h"
#include "script.h"
#include "small_job.h"

namespace rakelight {
namespace {

void soak(int events, std::uint64_t seed, int width, int height) {
  const JobFile job("soak-" + std::to_string(seed), with_hand_lamp());
  std::ofstream(job.folder / "lamp.ies") << small_lamp_file;
  std::ofstream(job.folder / "bad.ldt") << "no lamp";
  Script s(job.path(), width, height);
  Random random(seed);
  const auto pick = [&](std::size_t count) { return static_cast<std::size_t>(random.uniform() * static_cast<double>(count)); };
  static constexpr int keys[] = {'1', '2', '3', '4', 'W', 'T', 'V', 'F', 'G', 'P', 'C', 'K', 'R', 'X', 'O', 'J', 'N', 262, 263, 264, 265, 256, 257, 258, 259, 290, 32, '0', '9'};
  static constexpr int with_ctrl[] = {'Z', 'Z', 'Y', 'A', 'S', 'O', 'R', 'L'};
  static constexpr const char* dropped[] = {"job.toml", "lamp.ies", "lamp.ies", "bad.ldt", "none", "none.ies", ""};
  for (int i = 0; i < events; ++i) {
    const double what = random.uniform();
    if (what < 0.35) s.in.mouse = {random.uniform(-10, width + 10), random.uniform(-10, height + 10)};
    else if (what < 0.60) s.in.buttons[0] = !s.in.buttons[0];
    else if (what < 0.63) s.in.buttons[1 + pick(2)] = random.uniform() < 0.5;
    else if (what < 0.68) s.in.wheel = {random.uniform(-2, 2), random.uniform(-3, 3)};
    else if (what < 0.85) s.in.keys[static_cast<std::size_t>(keys[pick(std::size(keys))])] = true;
    else if (what < 0.92) s.in.keys[press::ctrl] = s.in.keys[static_cast<std::size_t>(with_ctrl[pick(std::size(with_ctrl))])] = true;
    else if (what < 0.97) s.in.typed = std::u32string(1, static_cast<char32_t>(random.uniform() < 0.7 ? 0x30 + pick(10) : 0x20 + pick(0x300)));
    else if (what < 0.98) s.in.dropped = {(job.folder / dropped[pick(std::size(dropped))]).string()};
    else {
      // the window is resized; the frame is still drawn into the same display
      s.in.width = s.in.pixels_wide = static_cast<int>(random.uniform(1, width + 1));
      s.in.height = s.in.pixels_high = static_cast<int>(random.uniform(1, height + 1));
    }
    s.frame();
    s.in.keys.reset();
    if (random.uniform() < 0.3) s.in.width = s.in.pixels_wide = width, s.in.height = s.in.pixels_high = height;
    if (i % 25 == 0) {
      INFO("event " << i << ", seed " << seed);
      Diagnostics diagnostics;
      const std::string& text = s.window.model().history.now().text;
      check_text(JobText(text), s.window.model().loader(), diagnostics);
      INFO(diagnostics.to_text("job", text));
      REQUIRE(diagnostics.ok());
      if (const auto right = s.window.model().right_text()) {
        check_text(JobText(*right), s.window.model().loader(), diagnostics);
        REQUIRE(diagnostics.ok());
      }
      REQUIRE(s.window.complaints() == "");
    }
  }
  // all is let go, and typing ended
  s.in = {};
  s.in.width = s.in.pixels_wide = width, s.in.height = s.in.pixels_high = height;
  s.in.time = 1e6;
  s.key(press::enter);
  s.frames(3);
  CHECK_FALSE(s.window.model().moving);
  CHECK_FALSE(s.window.model().history.trying());
  s.key(press::escape);  // time runs no more
  CHECK_NOTHROW(s.settle());
}

}  // namespace

TEST_CASE("A few hundred random events at 320 x 240") { soak(400, 1, 320, 240); }
TEST_CASE("A hundred random events at 1100 x 700") { soak(100, 2, 1100, 700); }
TEST_CASE("Ten thousand random events at 320 x 240", "[long]") { soak(10000, 3, 320, 240); }

}  // namespace rakelight
