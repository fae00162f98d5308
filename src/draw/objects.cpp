#include "draw/objects.h"

#include <algorithm>
#include <stdexcept>
#include <string_view>

namespace rakelight {
namespace {

// a unit that no pass reads, so that what is bound for a pass stays
constexpr GLenum spare_unit = 15;

void set_label(GLenum kind, GLuint name, const char* label) {
  if (GLAD_GL_KHR_debug) glObjectLabel(kind, name, -1, label);
}

void compile(GLuint shader, const std::string& source) {
  const char* text = source.c_str();
  glShaderSource(shader, 1, &text, nullptr);
  glCompileShader(shader);
}

void check_compiled(GLuint shader, const std::string& label) {
  GLint ok = 0;
  glGetShaderiv(shader, GL_COMPILE_STATUS, &ok);
  if (ok) return;
  GLint length = 0;
  glGetShaderiv(shader, GL_INFO_LOG_LENGTH, &length);
  std::string log(static_cast<std::size_t>(length) + 1, '\0');
  glGetShaderInfoLog(shader, length, nullptr, log.data());
  throw std::runtime_error("shader " + label + " does not compile:\n" + log.c_str());
}

}  // namespace

Texture::Texture(const char* label, GLint internal_format, int width, int height, const float* texels)
    : width_(width), height_(height) {
  GLuint name = 0;
  glGenTextures(1, &name);
  name_ = GlName<Kind>(name);
  glActiveTexture(GL_TEXTURE0 + spare_unit);
  glBindTexture(GL_TEXTURE_2D, name);
  glTexImage2D(GL_TEXTURE_2D, 0, internal_format, width, height, 0, internal_format == GL_R32F ? GL_RED : GL_RGBA, GL_FLOAT, texels);
  glTexParameteri(GL_TEXTURE_2D, GL_TEXTURE_MIN_FILTER, GL_NEAREST);
  glTexParameteri(GL_TEXTURE_2D, GL_TEXTURE_MAG_FILTER, GL_NEAREST);
  glTexParameteri(GL_TEXTURE_2D, GL_TEXTURE_MAX_LEVEL, 0);
  set_label(GL_TEXTURE, name, label);
}

void Texture::bind(int unit) const {
  glActiveTexture(GL_TEXTURE0 + static_cast<GLenum>(unit));
  glBindTexture(GL_TEXTURE_2D, name_.get());
}

RowBuffer::RowBuffer(const char* label) {
  GLuint store = 0, view = 0;
  glGenBuffers(1, &store);
  store_ = GlName<Store>(store);
  glGenTextures(1, &view);
  view_ = GlName<View>(view);
  glBindBuffer(GL_TEXTURE_BUFFER, store);
  glActiveTexture(GL_TEXTURE0 + spare_unit);
  glBindTexture(GL_TEXTURE_BUFFER, view);
  glTexBuffer(GL_TEXTURE_BUFFER, GL_RGBA32F, store);
  set_label(GL_BUFFER, store, label);
  set_label(GL_TEXTURE, view, label);
}

void RowBuffer::fill(const std::vector<float>& numbers) {
  GLint largest = 0;
  glGetIntegerv(GL_MAX_TEXTURE_BUFFER_SIZE, &largest);
  if (numbers.size() / 4 > static_cast<std::size_t>(largest))
    throw std::runtime_error("the room is too large for this OpenGL driver: its table has " + std::to_string(numbers.size() / 4) + " rows, the driver allows " + std::to_string(largest));
  glBindBuffer(GL_TEXTURE_BUFFER, store_.get());
  glBufferData(GL_TEXTURE_BUFFER, static_cast<GLsizeiptr>(numbers.size() * sizeof(float)), numbers.data(), GL_STATIC_DRAW);
}

void RowBuffer::bind(int unit) const {
  glActiveTexture(GL_TEXTURE0 + static_cast<GLenum>(unit));
  glBindTexture(GL_TEXTURE_BUFFER, view_.get());
}

StorageBuffer::StorageBuffer(const char* label) {
  GLuint name = 0;
  glGenBuffers(1, &name);
  name_ = GlName<Kind>(name);
  glBindBuffer(GL_SHADER_STORAGE_BUFFER, name);
  set_label(GL_BUFFER, name, label);
}

void StorageBuffer::fill(const void* bytes, std::size_t count) {
  make_room(count);
  glBindBuffer(GL_SHADER_STORAGE_BUFFER, name_.get());
  if (count > 0) glBufferSubData(GL_SHADER_STORAGE_BUFFER, 0, static_cast<GLsizeiptr>(count), bytes);
}

void StorageBuffer::make_room(std::size_t count) {
  if (room_ > 0 && count <= room_) return;
  room_ = std::max<std::size_t>(count, 16);
  glBindBuffer(GL_SHADER_STORAGE_BUFFER, name_.get());
  glBufferData(GL_SHADER_STORAGE_BUFFER, static_cast<GLsizeiptr>(room_), nullptr, GL_DYNAMIC_COPY);
}

void StorageBuffer::copy_from(const StorageBuffer& other, std::size_t count) {
  make_room(count);
  glBindBuffer(GL_COPY_READ_BUFFER, other.name_.get());
  glBindBuffer(GL_COPY_WRITE_BUFFER, name_.get());
  glCopyBufferSubData(GL_COPY_READ_BUFFER, GL_COPY_WRITE_BUFFER, 0, 0, static_cast<GLsizeiptr>(count));
}

void StorageBuffer::read(void* bytes, std::size_t count) const {
  glBindBuffer(GL_SHADER_STORAGE_BUFFER, name_.get());
  glGetBufferSubData(GL_SHADER_STORAGE_BUFFER, 0, static_cast<GLsizeiptr>(count), bytes);
}

DepthBuffer::DepthBuffer(const char* label, int width, int height) {
  GLuint name = 0;
  glGenRenderbuffers(1, &name);
  name_ = GlName<Kind>(name);
  glBindRenderbuffer(GL_RENDERBUFFER, name);
  glRenderbufferStorage(GL_RENDERBUFFER, GL_DEPTH_COMPONENT32F, width, height);
  set_label(GL_RENDERBUFFER, name, label);
}

Framebuffer::Framebuffer(const char* label, const Texture& colour, const DepthBuffer* depth) {
  GLuint name = 0;
  glGenFramebuffers(1, &name);
  name_ = GlName<Kind>(name);
  glBindFramebuffer(GL_FRAMEBUFFER, name);
  glFramebufferTexture2D(GL_FRAMEBUFFER, GL_COLOR_ATTACHMENT0, GL_TEXTURE_2D, colour.name(), 0);
  if (depth) glFramebufferRenderbuffer(GL_FRAMEBUFFER, GL_DEPTH_ATTACHMENT, GL_RENDERBUFFER, depth->name());
  set_label(GL_FRAMEBUFFER, name, label);
  if (glCheckFramebufferStatus(GL_FRAMEBUFFER) != GL_FRAMEBUFFER_COMPLETE)
    throw std::runtime_error(std::string("this OpenGL driver cannot draw into ") + label);
}

PassedCount::PassedCount(const char* label) {
  GLuint name = 0;
  glGenQueries(1, &name);
  name_ = GlName<Kind>(name);
  glBeginQuery(GL_SAMPLES_PASSED, name);
  glEndQuery(GL_SAMPLES_PASSED);
  set_label(GL_QUERY, name, label);
}

GLuint PassedCount::pixels() const {
  GLuint passed = 0;
  glGetQueryObjectuiv(name_.get(), GL_QUERY_RESULT, &passed);
  return passed;
}

TimeStamp::TimeStamp(const char* label) {
  GLuint name = 0;
  glGenQueries(1, &name);
  name_ = GlName<Kind>(name);
  glQueryCounter(name, GL_TIMESTAMP);
  set_label(GL_QUERY, name, label);
}

double TimeStamp::seconds() const {
  GLuint64 nanoseconds = 0;
  glGetQueryObjectui64v(name_.get(), GL_QUERY_RESULT, &nanoseconds);
  return 1e-9 * static_cast<double>(nanoseconds);
}

VertexArray::VertexArray(const char* label) {
  GLuint name = 0;
  glGenVertexArrays(1, &name);
  name_ = GlName<Kind>(name);
  glBindVertexArray(name);
  set_label(GL_VERTEX_ARRAY, name, label);
}

Program::Program(const char* label, const std::string& vertex_source, const std::string& fragment_source)
    : label_(label), vertex_(glCreateShader(GL_VERTEX_SHADER)), fragment_(glCreateShader(GL_FRAGMENT_SHADER)), name_(glCreateProgram()) {
  compile(vertex_.get(), vertex_source);
  compile(fragment_.get(), fragment_source);
  glAttachShader(name_.get(), vertex_.get());
  glAttachShader(name_.get(), fragment_.get());
  glLinkProgram(name_.get());
}

Program::Program(const char* label, const std::string& compute_source)
    : label_(label), vertex_(glCreateShader(GL_COMPUTE_SHADER)), name_(glCreateProgram()) {
  compile(vertex_.get(), compute_source);
  glAttachShader(name_.get(), vertex_.get());
  glLinkProgram(name_.get());
}

GLint Program::uniform(const char* name) const {
  const std::string_view key(name);
  auto found = uniforms_.find(key);
  if (found == uniforms_.end()) found = uniforms_.emplace(key, glGetUniformLocation(name_.get(), name)).first;
  return found->second;
}

void Program::finish() {
  check_compiled(vertex_.get(), label_);
  if (fragment_.get() != 0) check_compiled(fragment_.get(), label_);
  GLint ok = 0;
  glGetProgramiv(name_.get(), GL_LINK_STATUS, &ok);
  if (!ok) {
    GLint length = 0;
    glGetProgramiv(name_.get(), GL_INFO_LOG_LENGTH, &length);
    std::string log(static_cast<std::size_t>(length) + 1, '\0');
    glGetProgramInfoLog(name_.get(), length, nullptr, log.data());
    throw std::runtime_error("shaders of " + label_ + " do not link:\n" + log.c_str());
  }
  glDetachShader(name_.get(), vertex_.get());
  if (fragment_.get() != 0) glDetachShader(name_.get(), fragment_.get());
  vertex_ = {};
  fragment_ = {};
  set_label(GL_PROGRAM, name_.get(), label_.c_str());
}

}  // namespace rakelight
