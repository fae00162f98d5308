#include "draw/renderer.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <stdexcept>
#include <vector>

namespace rakelight {
namespace {

constexpr int scene_unit = 0, corners_unit = 1, sheen_unit = 2;
constexpr std::size_t header_rows = 8;   // of the scene table, also in shaders/passes/scene_table.glsl
constexpr int sheen_spacing = 8;        // also in shaders/passes/shading.glsl
constexpr int scene_width = 4096;      // texels in a row of the scene table, also in shaders/passes/scene_table.glsl
// pixels in one draw: a laptop's driver resets a card whose single draw takes seconds
constexpr int tile_width = 480, tile_height = 270;

void GLAD_API_PTR on_message(GLenum, GLenum, GLuint, GLenum severity, GLsizei, const GLchar* text, const void* log) {
  if (severity == GL_DEBUG_SEVERITY_HIGH) *static_cast<std::string*>(const_cast<void*>(log)) += std::string("\n  ") + text;
}

std::string text_of(GLenum what) {
  const auto* text = reinterpret_cast<const char*>(glGetString(what));
  return text == nullptr ? "unknown" : text;
}

Texture upload(const Scene& scene) {
  GLint largest = 0;
  glGetIntegerv(GL_MAX_TEXTURE_SIZE, &largest);
  const auto rows = static_cast<int>((scene.rows.size() + scene_width - 1) / scene_width);
  if (rows > largest || scene_width > largest)
    throw std::runtime_error("the room is too large for this OpenGL driver: its table needs " + std::to_string(rows) +
                             " texture rows, the driver allows " + std::to_string(largest));
  std::vector<float> texels(static_cast<std::size_t>(std::max(rows, 1)) * scene_width * 4, 0.0f);
  for (std::size_t i = 0; i < scene.rows.size(); ++i)
    for (int c = 0; c < 4; ++c) texels[i * 4 + c] = static_cast<float>(scene.rows[i][c]);
  return Texture("scene table", GL_RGBA32F, scene_width, std::max(rows, 1), texels.data());
}

Program build(const ShaderLoader& load, const char* path) {
  const ShaderSource vertex = assemble_shader(load, "passes/full_screen.glsl");
  const ShaderSource fragment = assemble_shader(load, path);
  try {
    return Program(path, vertex.text, fragment.text);
  } catch (const std::runtime_error& error) {
    throw std::runtime_error(fragment.named(error.what()));
  }
}

void set(const Program& program, const char* name, dvec3 v) {
  glUniform3f(program.uniform(name), static_cast<float>(v.x), static_cast<float>(v.y), static_cast<float>(v.z));
}

}  // namespace

Renderer::Renderer(const ShaderLoader& load) : triangle_("full-screen triangle") {
  if (GLAD_GL_KHR_debug) {
    glEnable(GL_DEBUG_OUTPUT);
    glEnable(GL_DEBUG_OUTPUT_SYNCHRONOUS);
    glDebugMessageCallback(on_message, &complaints_);
  }
  corners_ = build(load, "passes/corners.glsl");
  sheen_ = build(load, "passes/sheen.glsl");
  picture_ = build(load, "passes/picture.glsl");
  check("compiling the shaders");
}

Renderer::~Renderer() {
  if (GLAD_GL_KHR_debug) glDebugMessageCallback(nullptr, nullptr);
}

std::string Renderer::version() const {
  GLint major = 0, minor = 0;
  glGetIntegerv(GL_MAJOR_VERSION, &major);
  glGetIntegerv(GL_MINOR_VERSION, &minor);
  return std::to_string(major) + "." + std::to_string(minor);
}

std::string Renderer::device() const { return text_of(GL_RENDERER); }

void Renderer::check(const char* during) {
  const GLenum error = glGetError();
  if (!complaints_.empty()) {
    const std::string said = std::exchange(complaints_, {});
    throw std::runtime_error(std::string("OpenGL complained while ") + during + ":" + said);
  }
  if (error != GL_NO_ERROR)
    throw std::runtime_error(std::string("OpenGL error ") + std::to_string(error) + " while " + during);
}

void Renderer::draw(const Program& program, const Scene& scene, const Camera& camera, const Framebuffer& into, int columns, int rows) {
  into.bind();
  program.use();
  glUniform1i(program.uniform("scene_table"), scene_unit);
  std::array<float, 4 * header_rows> header{};
  for (std::size_t i = 0; i < std::min(scene.rows.size(), header_rows); ++i)
    for (int c = 0; c < 4; ++c) header[4 * i + c] = static_cast<float>(scene.rows[i][c]);
  glUniform4fv(program.uniform("header_rows"), static_cast<GLsizei>(header_rows), header.data());
  glUniform1i(program.uniform("corner_ids"), corners_unit);
  glUniform1i(program.uniform("coarse_sheen"), sheen_unit);
  glUniform1i(program.uniform("every_sheen"), every_sheen_ ? 1 : 0);
  set(program, "eye", camera.eye);
  set(program, "corner", camera.corner);
  set(program, "step_x", camera.step_x);
  set(program, "step_y", camera.step_y);
  glUniform1i(program.uniform("facing"), camera.facing);
  glUniform1f(program.uniform("footprint_angle"), static_cast<float>(camera.footprint_angle));
  glUniform1f(program.uniform("footprint"), static_cast<float>(camera.footprint));
  triangle_.bind();
  glDisable(GL_DEPTH_TEST);
  glDisable(GL_BLEND);
  glViewport(0, 0, columns, rows);
  glEnable(GL_SCISSOR_TEST);
  for (int y = 0; y < rows; y += tile_height)
    for (int x = 0; x < columns; x += tile_width) {
      glScissor(x, y, std::min(tile_width, columns - x), std::min(tile_height, rows - y));
      glDrawArrays(GL_TRIANGLES, 0, 3);
      glFlush();
    }
  glDisable(GL_SCISSOR_TEST);
}

Image Renderer::both(const Scene& scene, const View& view, bool every_sheen) {
  every_sheen_ = every_sheen;
  const Camera camera = camera_of(scene, view);
  const Texture table = upload(scene);
  const Texture ids("corner ids", GL_RGBA32F, view.width + 1, view.height + 1);
  const Texture picture("picture", GL_RGBA32F, view.width, view.height);
  // two nodes on either side of every pixel
  const Texture sheen("sheen", GL_RGBA32F, view.width / sheen_spacing + 4, view.height / sheen_spacing + 4);
  const Framebuffer into_ids("corner ids", ids), into_sheen("sheen", sheen), into_picture("picture", picture);
  table.bind(scene_unit);
  ids.bind(corners_unit);
  sheen.bind(sheen_unit);
  draw(corners_, scene, camera, into_ids, ids.width(), ids.height());
  draw(sheen_, scene, camera, into_sheen, sheen.width(), sheen.height());
  draw(picture_, scene, camera, into_picture, view.width, view.height);
  Image out(view.width, view.height, 3);
  std::vector<float> texels(static_cast<std::size_t>(view.width) * view.height * 4);
  glPixelStorei(GL_PACK_ALIGNMENT, 4);
  glReadPixels(0, 0, view.width, view.height, GL_RGBA, GL_FLOAT, texels.data());
  check("drawing a picture");
  for (std::size_t i = 0; i < texels.size() / 4; ++i)
    for (int c = 0; c < 3; ++c) out.pixels[i * 3 + c] = texels[i * 4 + c];
  return out;
}

}  // namespace rakelight
