// What the window stands on: GLFW, its windows, Dear ImGui in one of them. Each lives as long as its object.
#pragma once

#include <bitset>

#include "window/input.h"

struct GLFWwindow;

namespace rakelight {

/// GLFW itself: one for all windows of the program. Throws NoWindow.
struct Glfw {
  Glfw();
  ~Glfw();
  Glfw(const Glfw&) = delete;
  Glfw& operator=(const Glfw&) = delete;
};

/// A window with a context of OpenGL 4.1 core. Throws NoWindow.
struct WindowHandle {
  GLFWwindow* window = nullptr;
  WindowHandle(int width, int height, const char* title, bool visible);
  ~WindowHandle();
  WindowHandle(const WindowHandle&) = delete;
  WindowHandle& operator=(const WindowHandle&) = delete;
};

/// What GLFW tells between two frames, gathered for one Input.
class Events {
 public:
  explicit Events(GLFWwindow* window);
  Events(const Events&) = delete;
  Events& operator=(const Events&) = delete;
  Input take();

 private:
  GLFWwindow* window_;
  Input gathered_;
  // a press and release between two frames must still be seen, of keys as of buttons
  std::array<bool, 3> pressed_{};
  std::bitset<512> tapped_;
};

/// Dear ImGui with its OpenGL side; the context must be current from first to last.
struct Gui {
  Gui();
  ~Gui();
  Gui(const Gui&) = delete;
  Gui& operator=(const Gui&) = delete;
};

}  // namespace rakelight
