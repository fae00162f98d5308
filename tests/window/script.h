// A window driven by a script: the same inputs that a person gives.
#pragma once
#include <chrono>
#include <filesystem>
#include <stdexcept>
#include <string>
#include <thread>

#include "report/report.h"
#include "window/window.h"

namespace rakelight {

/// GLFW's numbers of keys that have no letter.
namespace press {
inline constexpr int escape = 256, enter = 257, tab = 258, backspace = 259, right = 262, left = 263, down = 264, up = 265, f1 = 290, shift = 340, ctrl = 341, alt = 342, space = 32;
}

class Script {
 public:
  /// `picture_pixel`: nearly all the time of a script goes into pictures by the software rasteriser, which tests/gl looks at;
  /// here a coarse one does.
  explicit Script(const std::string& job = "", int width = 1440, int height = 900, const std::string& language = "en", int picture_pixel = 4) : window(options(job, width, height, language, picture_pixel)) {
    in.width = in.pixels_wide = width;
    in.height = in.pixels_high = height;
    frames(3);
  }

  ~Script() { choose_language("en"); }

  void frame() {
    in.time += 1.0 / 30;
    window.frame(in);
    in.wheel = dvec2(0);
    in.typed.clear();
    in.dropped.clear();
  }
  void frames(int count) {
    for (int i = 0; i < count; ++i) frame();
  }
  /// Frames until nothing is being worked out or drawn. Throws after `seconds`: this machine may be shared, so the limit
  /// is many times what the work takes alone.
  void settle(double seconds = 300) {
    const auto from = std::chrono::steady_clock::now();
    for (int calm = 0; calm < 4;) {
      frame();
      calm = window.idle() ? calm + 1 : 0;
      if (calm == 0) std::this_thread::sleep_for(std::chrono::milliseconds(20));
      if (std::chrono::duration<double>(std::chrono::steady_clock::now() - from).count() > seconds) throw std::runtime_error("the window did not come to rest");
    }
  }
  /// Frames until `there` holds, and then until it is laid out too.
  template <class There>
  void until(There&& there, double seconds = 300) {
    const auto from = std::chrono::steady_clock::now();
    while (!there()) {
      frame();
      std::this_thread::sleep_for(std::chrono::milliseconds(10));
      if (std::chrono::duration<double>(std::chrono::steady_clock::now() - from).count() > seconds) throw std::runtime_error("waited in vain");
    }
    frames(3);
  }

  Spot spot(const std::string& name) const {
    const auto at = window.spot(name);
    if (!at) throw std::runtime_error("there is no \"" + name + "\" in the window");
    return *at;
  }
  void move(dvec2 to) {
    in.mouse = to;
    frames(2);
  }
  void click(const std::string& name) { click(spot(name).middle()); }
  void click(dvec2 at) {
    move(at);
    in.buttons[0] = true;
    frames(2);
    in.buttons[0] = false;
    frames(2);
  }
  void drag(dvec2 from, dvec2 to, int steps = 6) {
    move(from);
    in.buttons[0] = true;
    frames(2);
    for (int i = 1; i <= steps; ++i) move(from + (to - from) * (static_cast<double>(i) / steps));
    in.buttons[0] = false;
    frames(2);
  }
  void key(int key, bool ctrl = false, bool shift = false) {
    in.keys[press::ctrl] = ctrl;
    in.keys[press::shift] = shift;
    in.keys[static_cast<std::size_t>(key)] = true;
    frame();
    in.keys.reset();
    frame();
  }
  void type(const std::string& text) {
    for (const char c : text) {
      in.typed = std::u32string(1, static_cast<char32_t>(c));
      frame();
    }
  }
  /// Clicks into a field, replaces what stands there and enters it.
  void fill(const std::string& name, const std::string& text) {
    const Spot field = spot(name);
    click(dvec2(field.lo.x + 12, field.middle().y));
    key('A', true);
    type(text);
    key(press::enter);
  }
  void save_screen(const std::string& path) { write_file(path, png_bytes(window.screen())); }

  AppWindow window;
  Input in;

 private:
  static WindowOptions options(const std::string& job, int width, int height, const std::string& language, int picture_pixel) {
    WindowOptions o;
    o.job = job;
    o.width = width;
    o.height = height;
    o.language = language;
    o.picture_pixel = picture_pixel;
    return o;
  }
};

/// What stands in the window is the judgement of the job as it is now.
inline bool judged(const Script& s) {
  return s.window.found() && s.window.found()->assessment && s.window.found()->text == s.window.model().history.now().text;
}

}  // namespace rakelight
