// Random events, seeded: whatever is pressed, dragged and typed, the window stands and the job stays sound.
#include <catch2/catch.hpp>

#include "base/random.h"
#include "script.h"
#include "small_job.h"
#include "window/keys.h"

namespace rakelight {
namespace {

void press_binding(Script& s, const KeyBinding& b) {
  s.in.keys[press::ctrl] = b.ctrl;
  s.in.keys[press::shift] = b.shift;
  s.in.keys[static_cast<std::size_t>(b.key)] = true;
}

/// Making a paper takes a minute of this machine each time, and closing ends the soak.
bool left_out(const KeyBinding& b) { return b.action == Action::print_paper || b.action == Action::quit; }
bool left_out(const std::string& spot) { return spot == "paper"; }

void require_sound(const Script& s) {
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

/// Presses every key once, then events at random: half of what the mouse does is aimed at a control, a handle or a field
/// that stands in the window, so that every region is dragged in and every field typed into.
void soak(int events, std::uint64_t seed, int width, int height, const std::string& text) {
  const JobFile job("soak-" + std::to_string(seed), text);
  std::ofstream(job.folder / "lamp.ies") << small_lamp_file;
  std::ofstream(job.folder / "bad.ldt") << "no lamp";
  Script s(job.path(), width, height);
  Random random(seed);
  const auto pick = [&](std::size_t count) { return static_cast<std::size_t>(random.uniform() * static_cast<double>(count)); };
  const auto bindings = key_bindings();
  for (const KeyBinding& b : bindings) {
    if (left_out(b)) continue;
    press_binding(s, b);
    s.frame();
    s.in.keys.reset();
    s.frame();
  }
  require_sound(s);
  static constexpr int more_keys[] = {257, 259, 261, 268, 269, 32, 'A', '0', '9', 342};
  static constexpr const char* dropped[] = {"job.toml", "lamp.ies", "lamp.ies", "bad.ldt", "none", "none.ies", ""};
  static constexpr double scales[] = {1, 1, 1.25, 2};
  const auto random_place = [&] { return dvec2(random.uniform(-10, width + 10), random.uniform(-10, height + 10)); };
  const auto aimed_place = [&] {
    const auto& spots = s.window.spots();
    if (spots.empty()) return random_place();
    auto at = spots.begin();
    std::advance(at, static_cast<std::ptrdiff_t>(pick(spots.size())));
    return left_out(at->first) ? random_place() : at->second.middle() + dvec2(random.uniform(-2, 2), random.uniform(-2, 2));
  };
  for (int i = 0; i < events; ++i) {
    const double what = random.uniform();
    if (what < 0.20) s.in.mouse = random_place();
    else if (what < 0.40) s.in.mouse = aimed_place();
    else if (what < 0.62) s.in.buttons[0] = !s.in.buttons[0];
    else if (what < 0.65) s.in.buttons[1 + pick(2)] = random.uniform() < 0.5;
    else if (what < 0.70) s.in.wheel = {random.uniform(-2, 2), random.uniform(-3, 3)};
    else if (what < 0.85) {
      const KeyBinding& b = bindings[pick(bindings.size())];
      if (!left_out(b)) press_binding(s, b);
    } else if (what < 0.90) s.in.keys[static_cast<std::size_t>(more_keys[pick(std::size(more_keys))])] = true;
    else if (what < 0.97) s.in.typed = std::u32string(1, static_cast<char32_t>(random.uniform() < 0.7 ? 0x30 + pick(10) : 0x20 + pick(0x300)));
    else if (what < 0.98) s.in.dropped = {(job.folder / dropped[pick(std::size(dropped))]).string()};
    else {
      // the window is resized, or moved to another display; the frame is still drawn into the same one
      s.in.width = s.in.pixels_wide = static_cast<int>(random.uniform(1, width + 1));
      s.in.height = s.in.pixels_high = static_cast<int>(random.uniform(1, height + 1));
      s.in.scale = scales[pick(std::size(scales))];
    }
    s.frame();
    s.in.keys.reset();
    if (random.uniform() < 0.3) s.in.width = s.in.pixels_wide = width, s.in.height = s.in.pixels_high = height;
    if (i % 25 == 0) {
      INFO("event " << i << ", seed " << seed);
      require_sound(s);
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
  if (s.window.model().playing) s.key(press::escape);
  CHECK_NOTHROW(s.settle());
  require_sound(s);
}

std::string in_inches() { return starter_job({3.6, 3.0, 2.4, "Europe/London", 293, true, true}); }

}  // namespace

TEST_CASE("Every key, then a few hundred random events at 320 x 240") { soak(400, 1, 320, 240, with_hand_lamp()); }
TEST_CASE("Every key, then a hundred random events at 1100 x 700, on a job in inches") { soak(100, 2, 1100, 700, in_inches()); }
TEST_CASE("Ten thousand random events at 320 x 240", "[long]") { soak(10000, 3, 320, 240, with_hand_lamp()); }
TEST_CASE("Three thousand random events at 960 x 640, on a job in inches", "[long]") { soak(3000, 4, 960, 640, in_inches()); }

}  // namespace rakelight
