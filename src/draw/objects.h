// OpenGL objects as move-only values: an empty one needs no context, a full one owns its name. Whoever
// makes or destroys a full one has a context current.
#pragma once
#include <glad/gl.h>

#include <string>
#include <utility>

namespace rakelight {

/// Owns one OpenGL name; 0 = none.
template <class Kind>
class GlName {
 public:
  GlName() = default;
  explicit GlName(GLuint name) : name_(name) {}
  GlName(GlName&& other) noexcept : name_(std::exchange(other.name_, 0)) {}
  GlName& operator=(GlName&& other) noexcept {
    std::swap(name_, other.name_);
    return *this;
  }
  ~GlName() {
    if (name_ != 0) Kind::destroy(name_);
  }
  GLuint get() const { return name_; }

 private:
  GLuint name_ = 0;
};

/// A 2-D texture of one level, nearest texel, for texelFetch and as a render target.
class Texture {
 public:
  Texture() = default;
  /// `texels`: RGBA floats row by row, or null.
  Texture(const char* label, GLint internal_format, int width, int height, const float* texels = nullptr);
  GLuint name() const { return name_.get(); }
  int width() const { return width_; }
  int height() const { return height_; }
  void bind(int unit) const;

 private:
  struct Kind { static void destroy(GLuint name) { glDeleteTextures(1, &name); } };
  GlName<Kind> name_;
  int width_ = 0, height_ = 0;
};

/// A depth buffer in float, which keeps marks exactly.
class DepthBuffer {
 public:
  DepthBuffer() = default;
  DepthBuffer(const char* label, int width, int height);
  GLuint name() const { return name_.get(); }

 private:
  struct Kind { static void destroy(GLuint name) { glDeleteRenderbuffers(1, &name); } };
  GlName<Kind> name_;
};

/// Draws into one texture, which must outlive it, as must the depth buffer if there is one.
class Framebuffer {
 public:
  Framebuffer() = default;
  /// Throws std::runtime_error when the driver cannot draw into the texture's format.
  Framebuffer(const char* label, const Texture& colour, const DepthBuffer* depth = nullptr);
  void bind() const { glBindFramebuffer(GL_FRAMEBUFFER, name_.get()); }

 private:
  struct Kind { static void destroy(GLuint name) { glDeleteFramebuffers(1, &name); } };
  GlName<Kind> name_;
};

/// Whether any pixel passed the tests between begin and end.
class AnyPassed {
 public:
  AnyPassed() = default;
  explicit AnyPassed(const char* label);
  void begin() const { glBeginQuery(GL_ANY_SAMPLES_PASSED, name_.get()); }
  void end() const { glEndQuery(GL_ANY_SAMPLES_PASSED); }
  /// Waits for the driver.
  bool any() const;

 private:
  struct Kind { static void destroy(GLuint name) { glDeleteQueries(1, &name); } };
  GlName<Kind> name_;
};

/// A vertex array without attributes: the full-screen triangle is made from gl_VertexID.
class VertexArray {
 public:
  VertexArray() = default;
  explicit VertexArray(const char* label);
  void bind() const { glBindVertexArray(name_.get()); }

 private:
  struct Kind { static void destroy(GLuint name) { glDeleteVertexArrays(1, &name); } };
  GlName<Kind> name_;
};

/// A vertex and fragment shader. Made first and finished later, so that a driver may compile several at once meanwhile.
class Program {
 public:
  Program() = default;
  Program(const char* label, const std::string& vertex_source, const std::string& fragment_source);
  /// To be called before use. Throws std::runtime_error with the driver's log when a shader does not compile or link.
  void finish();
  void use() const { glUseProgram(name_.get()); }
  /// -1 when the driver dropped an unused uniform, which glUniform* then ignores.
  GLint uniform(const char* name) const { return glGetUniformLocation(name_.get(), name); }

 private:
  struct Kind { static void destroy(GLuint name) { glDeleteProgram(name); } };
  struct Shader { static void destroy(GLuint name) { glDeleteShader(name); } };
  std::string label_;
  GlName<Shader> vertex_, fragment_;
  GlName<Kind> name_;
};

}  // namespace rakelight
