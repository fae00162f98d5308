#include "draw/screen.h"

#include <stdexcept>
#include <utility>
#include <vector>

namespace rakelight {
namespace {

void GLAD_API_PTR log_message(GLenum, GLenum, GLuint, GLenum severity, GLsizei, const GLchar* text, const void* log) {
  if (severity == GL_DEBUG_SEVERITY_HIGH) *static_cast<std::string*>(const_cast<void*>(log)) += std::string(text) + "\n";
}

}  // namespace

void load_opengl(OpenGlAddress (*address)(const char* name)) {
  if (gladLoadGL(address) < GLAD_MAKE_VERSION(4, 1)) throw std::runtime_error("its OpenGL is older than 4.1");
}

ScreenPicture::ScreenPicture(const Image& image) : width_(image.width), height_(image.height) {
  std::vector<unsigned char> bytes(image.pixels.size());
  for (std::size_t i = 0; i < bytes.size(); ++i) bytes[i] = static_cast<unsigned char>(image.pixels[i]);
  GLuint name = 0;
  glGenTextures(1, &name);
  name_ = GlName<Kind>(name);
  glActiveTexture(GL_TEXTURE0);
  glBindTexture(GL_TEXTURE_2D, name);
  glPixelStorei(GL_UNPACK_ALIGNMENT, 1);
  const bool grey = image.channels == 1;
  glTexImage2D(GL_TEXTURE_2D, 0, grey ? GL_R8 : GL_RGB8, width_, height_, 0, grey ? GL_RED : GL_RGB, GL_UNSIGNED_BYTE, bytes.data());
  glTexParameteri(GL_TEXTURE_2D, GL_TEXTURE_MIN_FILTER, GL_LINEAR);
  glTexParameteri(GL_TEXTURE_2D, GL_TEXTURE_MAG_FILTER, GL_LINEAR);
  glTexParameteri(GL_TEXTURE_2D, GL_TEXTURE_WRAP_S, GL_CLAMP_TO_EDGE);
  glTexParameteri(GL_TEXTURE_2D, GL_TEXTURE_WRAP_T, GL_CLAMP_TO_EDGE);
  if (grey) {
    glTexParameteri(GL_TEXTURE_2D, GL_TEXTURE_SWIZZLE_G, GL_RED);
    glTexParameteri(GL_TEXTURE_2D, GL_TEXTURE_SWIZZLE_B, GL_RED);
  }
  glPixelStorei(GL_UNPACK_ALIGNMENT, 4);
}

ScreenLog::ScreenLog() {
  if (!GLAD_GL_KHR_debug) return;
  glEnable(GL_DEBUG_OUTPUT);
  glEnable(GL_DEBUG_OUTPUT_SYNCHRONOUS);
  glDebugMessageCallback(log_message, &text_);
}

ScreenLog::~ScreenLog() {
  if (GLAD_GL_KHR_debug) glDebugMessageCallback(nullptr, nullptr);
}

std::string ScreenLog::complaints() {
  std::string said = std::exchange(text_, {});
  for (GLenum error = glGetError(); error != GL_NO_ERROR; error = glGetError()) said += "OpenGL error " + std::to_string(error) + "\n";
  return said;
}

void clear_screen(int width, int height, std::array<double, 3> colour) {
  glBindFramebuffer(GL_FRAMEBUFFER, 0);
  glViewport(0, 0, width, height);
  glClearColor(static_cast<float>(colour[0]), static_cast<float>(colour[1]), static_cast<float>(colour[2]), 1);
  glClear(GL_COLOR_BUFFER_BIT);
}

Image read_screen(int width, int height) {
  std::vector<unsigned char> bytes(static_cast<std::size_t>(width) * height * 3);
  glPixelStorei(GL_PACK_ALIGNMENT, 1);
  glReadPixels(0, 0, width, height, GL_RGB, GL_UNSIGNED_BYTE, bytes.data());
  Image out(width, height, 3);
  for (int y = 0; y < height; ++y)
    for (int x = 0; x < width; ++x)
      for (int c = 0; c < 3; ++c) out.at(x, y, c) = bytes[(static_cast<std::size_t>(height - 1 - y) * width + x) * 3 + c];
  return out;
}

}  // namespace rakelight
