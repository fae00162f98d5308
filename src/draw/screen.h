// What a window needs of OpenGL beside the passes: pictures as textures, a ground colour, what stands on the screen.
#pragma once
#include <array>
#include <cstdint>
#include <string>

#include "base/image.h"
#include "draw/draw.h"
#include "draw/objects.h"

namespace rakelight {

using OpenGlAddress = void (*)();
/// Loads OpenGL's functions for the context that is current. Throws std::runtime_error when it is older than 4.1 core.
/// Contexts of one driver share them.
void load_opengl(OpenGlAddress (*address)(const char* name));

/// A picture of 8-bit values on the screen, one or three channels, drawn smoothly when its size does not fit.
class ScreenPicture {
 public:
  ScreenPicture() = default;
  explicit ScreenPicture(const Image& display_8bit);
  std::uintptr_t handle() const { return name_.get(); }   ///< 0 = none
  int width() const { return width_; }
  int height() const { return height_; }

 private:
  struct Kind { static void destroy(GLuint name) { glDeleteTextures(1, &name); } };
  GlName<Kind> name_;
  int width_ = 0, height_ = 0;
};

/// Collects OpenGL's errors and messages of high severity in the context that is current when it is made.
class ScreenLog {
 public:
  ScreenLog();
  ~ScreenLog();
  ScreenLog(const ScreenLog&) = delete;
  ScreenLog& operator=(const ScreenLog&) = delete;
  /// Since the last call; "" when all is well.
  std::string complaints();

 private:
  std::string text_;
};

/// Fills the window's framebuffer; `colour`: sRGB, 0 to 1.
void clear_screen(int width, int height, std::array<double, 3> colour);
/// The window's framebuffer as three channels of 8-bit values.
Image read_screen(int width, int height);

}  // namespace rakelight
