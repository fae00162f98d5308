// What reaches the window in one frame: from GLFW, or from a script, which drives the very same path.
#pragma once
#include <array>
#include <bitset>
#include <string>
#include <vector>

#include "base/vec.h"

namespace rakelight {

/// Keys are GLFW's numbers (letters and digits are their ASCII capitals).
struct Input {
  double time = 0;                     ///< s, counting up
  int width = 1280, height = 800;      ///< window, in its own units
  int pixels_wide = 1280, pixels_high = 800;  ///< framebuffer
  double scale = 1;                    ///< of the display's text against 96 dots an inch
  dvec2 mouse{-1};                     ///< window units from the top left
  std::array<bool, 3> buttons{};       ///< left, right, middle
  dvec2 wheel{0};                      ///< turned since the last frame; x: sideways
  std::bitset<512> keys;               ///< held
  std::u32string typed;                ///< characters since the last frame
  std::vector<std::string> dropped;    ///< files
  bool close = false;
};

}  // namespace rakelight
