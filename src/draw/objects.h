// OpenGL objects as move-only values: an empty one needs no context, a full one owns its name. Whoever
// makes or destroys a full one has a context current.
#pragma once
#include <glad/gl.h>

#include <array>
#include <functional>
#include <map>
#include <string>
#include <utility>
#include <vector>

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
  /// GL_RGBA32F or GL_R32F. `texels`: floats row by row, or null.
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

/// Rows of four floats behind a samplerBuffer.
class RowBuffer {
 public:
  RowBuffer() = default;
  explicit RowBuffer(const char* label);
  /// Throws std::runtime_error when the driver's buffers are smaller.
  void fill(const std::vector<float>& numbers);
  void bind(int unit) const;
  /// As a storage buffer of rows, for compute shaders.
  void bind_storage(int binding) const { glBindBufferBase(GL_SHADER_STORAGE_BUFFER, static_cast<GLuint>(binding), store_.get()); }

 private:
  struct Store { static void destroy(GLuint name) { glDeleteBuffers(1, &name); } };
  struct View { static void destroy(GLuint name) { glDeleteTextures(1, &name); } };
  GlName<Store> store_;
  GlName<View> view_;
};

/// Numbers that compute shaders read or write; needs OpenGL 4.3.
class StorageBuffer {
 public:
  StorageBuffer() = default;
  explicit StorageBuffer(const char* label);
  /// What was in it is lost.
  void fill(const void* bytes, std::size_t count);
  /// Room for so many bytes at least; what was in it is lost when there was less.
  void make_room(std::size_t count);
  void bind(int binding) const { glBindBufferBase(GL_SHADER_STORAGE_BUFFER, static_cast<GLuint>(binding), name_.get()); }
  /// Takes the first numbers of another buffer.
  void copy_from(const StorageBuffer& other, std::size_t count);
  /// Waits for the driver.
  void read(void* bytes, std::size_t count) const;

 private:
  struct Kind { static void destroy(GLuint name) { glDeleteBuffers(1, &name); } };
  GlName<Kind> name_;
  std::size_t room_ = 0;
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

/// How many pixels passed the tests between begin and end.
class PassedCount {
 public:
  PassedCount() = default;
  explicit PassedCount(const char* label);
  void begin() const { glBeginQuery(GL_SAMPLES_PASSED, name_.get()); }
  void end() const { glEndQuery(GL_SAMPLES_PASSED); }
  /// Waits for the driver.
  GLuint pixels() const;

 private:
  struct Kind { static void destroy(GLuint name) { glDeleteQueries(1, &name); } };
  GlName<Kind> name_;
};

/// When the device has done all that was asked of it so far.
class TimeStamp {
 public:
  TimeStamp() = default;
  explicit TimeStamp(const char* label);
  void mark() const { glQueryCounter(name_.get(), GL_TIMESTAMP); }
  /// Waits for the driver. Of the device's own clock.
  double seconds() const;

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

/// A vertex and fragment shader, or a compute shader. Made first and finished later, so that a driver may compile several at once meanwhile.
class Program {
 public:
  Program() = default;
  Program(const char* label, const std::string& vertex_source, const std::string& fragment_source);
  /// A compute shader; needs OpenGL 4.3.
  Program(const char* label, const std::string& compute_source);
  /// To be called before use. Throws std::runtime_error with the driver's log when a shader does not compile or link.
  void finish();
  void use() const { glUseProgram(name_.get()); }
  /// -1 when the driver dropped an unused uniform, which glUniform* then ignores.
  GLint uniform(const char* name) const;

 private:
  struct Kind { static void destroy(GLuint name) { glDeleteProgram(name); } };
  struct Shader { static void destroy(GLuint name) { glDeleteShader(name); } };
  std::string label_;
  GlName<Shader> vertex_, fragment_;   // of a compute shader the first alone
  GlName<Kind> name_;
  mutable std::map<std::string, GLint, std::less<>> uniforms_;   // a driver takes its time to look one up
};

}  // namespace rakelight
