#include "window/display.h"

#define GLFW_INCLUDE_NONE
#include <GLFW/glfw3.h>
#include <backends/imgui_impl_opengl3.h>
#include <imgui.h>

#include <fmt/format.h>
#include <string>
#include <utility>

#include "base/say.h"
#include "window/window.h"

namespace rakelight {
namespace {

std::string last_glfw_error;
void on_error(int, const char* text) { last_glfw_error = text; }

GLFWwindow* make_window(int width, int height, const char* title, bool visible) {
  glfwDefaultWindowHints();
  glfwWindowHint(GLFW_OPENGL_PROFILE, GLFW_OPENGL_CORE_PROFILE);
  glfwWindowHint(GLFW_OPENGL_FORWARD_COMPAT, GLFW_TRUE);
  glfwWindowHint(GLFW_OPENGL_DEBUG_CONTEXT, GLFW_TRUE);
  glfwWindowHint(GLFW_VISIBLE, visible ? GLFW_TRUE : GLFW_FALSE);
  glfwWindowHint(GLFW_DEPTH_BITS, 0);
  glfwWindowHint(GLFW_STENCIL_BITS, 0);
  GLFWwindow* window = nullptr;
  for (const int newest : {3, 1}) {  // some drivers give no more than is asked for; compute shaders need 4.3
    if (window) break;
    glfwWindowHint(GLFW_CONTEXT_VERSION_MAJOR, 4);
    glfwWindowHint(GLFW_CONTEXT_VERSION_MINOR, newest);
    window = glfwCreateWindow(width, height, title, nullptr, nullptr);
  }
  if (!window)
    throw NoWindow(say("the window needs OpenGL 4.1 core, which this display does not give ({}).", last_glfw_error.empty() ? say("no reason given") : last_glfw_error) + "\n" + say("Without it: {}", "rakelight assess JOB"));
  return window;
}

/// GLFW numbers keys by their places on an American keyboard; shortcuts go by the letter that stands on them.
int by_layout(int key, int scancode) {
  const char* name = glfwGetKeyName(key, scancode);
  return name && name[0] >= 'a' && name[0] <= 'z' && !name[1] ? name[0] - 'a' + 'A' : key;
}

}  // namespace

Glfw::Glfw() {
  glfwSetErrorCallback(on_error);
  if (!glfwInit())
    throw NoWindow(say("a window needs a display, and there is none ({}).", last_glfw_error.empty() ? say("no reason given") : last_glfw_error) + "\n" + say("Without it: {}", "rakelight assess JOB, rakelight render JOB -o F.png"));
}
Glfw::~Glfw() { glfwTerminate(); }

WindowHandle::WindowHandle(int width, int height, const char* title, bool visible) : window(make_window(width, height, title, visible)) {}
WindowHandle::~WindowHandle() { glfwDestroyWindow(window); }

Events::Events(GLFWwindow* window) : window_(window) {
  glfwSetWindowUserPointer(window, this);
  static constexpr auto self = [](GLFWwindow* w) { return static_cast<Events*>(glfwGetWindowUserPointer(w)); };
  glfwSetScrollCallback(window, [](GLFWwindow* w, double x, double y) { self(w)->gathered_.wheel += dvec2(x, y); });
  glfwSetCharCallback(window, [](GLFWwindow* w, unsigned c) { self(w)->gathered_.typed += static_cast<char32_t>(c); });
  glfwSetDropCallback(window, [](GLFWwindow* w, int count, const char** paths) {
    for (int i = 0; i < count; ++i) self(w)->gathered_.dropped.emplace_back(paths[i]);
  });
  glfwSetKeyCallback(window, [](GLFWwindow* w, int key, int scancode, int action, int) {
    key = by_layout(key, scancode);
    if (key < 0 || key >= 512) return;
    self(w)->gathered_.keys[static_cast<std::size_t>(key)] = action != GLFW_RELEASE;
    if (action == GLFW_PRESS) self(w)->tapped_[static_cast<std::size_t>(key)] = true;
  });
  glfwSetMouseButtonCallback(window, [](GLFWwindow* w, int key, int action, int) {
    if (key >= 0 && key < 3 && action == GLFW_PRESS) self(w)->pressed_[static_cast<std::size_t>(key)] = true;
  });
}

Input Events::take() {
  Input in = gathered_;
  in.keys |= tapped_;
  tapped_.reset();
  gathered_.wheel = dvec2(0);
  gathered_.typed.clear();
  gathered_.dropped.clear();
  in.time = glfwGetTime();
  glfwGetWindowSize(window_, &in.width, &in.height);
  glfwGetFramebufferSize(window_, &in.pixels_wide, &in.pixels_high);
  float x = 1, y = 1;
  glfwGetWindowContentScale(window_, &x, &y);
  in.scale = x;
  glfwGetCursorPos(window_, &in.mouse.x, &in.mouse.y);
  for (int i = 0; i < 3; ++i) {
    in.buttons[static_cast<std::size_t>(i)] = pressed_[static_cast<std::size_t>(i)] || glfwGetMouseButton(window_, i) == GLFW_PRESS;
    pressed_[static_cast<std::size_t>(i)] = false;
  }
  in.close = glfwWindowShouldClose(window_);
  return in;
}

Gui::Gui() {
  IMGUI_CHECKVERSION();
  ImGui::CreateContext();
  ImGuiIO& io = ImGui::GetIO();
  io.IniFilename = nullptr;
  io.LogFilename = nullptr;
  io.ConfigInputTextCursorBlink = false;
  io.BackendFlags |= ImGuiBackendFlags_HasMouseCursors;
  static constexpr std::pair<int, int> map[] = {{ImGuiKey_Tab, GLFW_KEY_TAB}, {ImGuiKey_LeftArrow, GLFW_KEY_LEFT}, {ImGuiKey_RightArrow, GLFW_KEY_RIGHT}, {ImGuiKey_UpArrow, GLFW_KEY_UP},
      {ImGuiKey_DownArrow, GLFW_KEY_DOWN}, {ImGuiKey_PageUp, GLFW_KEY_PAGE_UP}, {ImGuiKey_PageDown, GLFW_KEY_PAGE_DOWN}, {ImGuiKey_Home, GLFW_KEY_HOME}, {ImGuiKey_End, GLFW_KEY_END},
      {ImGuiKey_Insert, GLFW_KEY_INSERT}, {ImGuiKey_Delete, GLFW_KEY_DELETE}, {ImGuiKey_Backspace, GLFW_KEY_BACKSPACE}, {ImGuiKey_Space, GLFW_KEY_SPACE}, {ImGuiKey_Enter, GLFW_KEY_ENTER},
      {ImGuiKey_Escape, GLFW_KEY_ESCAPE}, {ImGuiKey_KeyPadEnter, GLFW_KEY_KP_ENTER}, {ImGuiKey_A, 'A'}, {ImGuiKey_C, 'C'}, {ImGuiKey_V, 'V'}, {ImGuiKey_X, 'X'}, {ImGuiKey_Y, 'Y'}, {ImGuiKey_Z, 'Z'}};
  for (const auto& [gui, key] : map) io.KeyMap[gui] = key;
  ImGui_ImplOpenGL3_Init("#version 410 core");
}
Gui::~Gui() {
  ImGui_ImplOpenGL3_Shutdown();
  ImGui::DestroyContext();
}

}  // namespace rakelight
