#include "draw/renderer.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <stdexcept>
#include <vector>

namespace rakelight {
namespace {

constexpr int scene_unit = 0, corners_unit = 1, grids_unit = 2, sheen_unit = 3;
constexpr std::size_t header_rows = 9;   // of the scene table, also in shaders/passes/scene_table.glsl
constexpr float mixed_mark = 0.5f, exact_mark = 0.75f;  // depths, also in shaders/passes/pixels.glsl
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

/// As shaders/passes/sheen_table.glsl reads them.
Texture upload_grids(const Scene& scene, const SheenLayout& layout) {
  const int surfaces = std::max(1, static_cast<int>(scene.rows.empty() ? 0 : scene.rows[0].x));
  std::vector<float> texels(static_cast<std::size_t>(surfaces) * 8, 0.0f);
  for (const SheenGrid& g : layout.grids) {
    const std::array<double, 8> values{double(g.row), double(g.nx), double(g.ny), g.reach, g.first.x, g.first.y, g.spacing.x, g.spacing.y};
    for (std::size_t i = 0; i < 8; ++i) texels[8 * static_cast<std::size_t>(g.surface) + i] = static_cast<float>(values[i]);
  }
  return Texture("sheen grids", GL_RGBA32F, 2, surfaces, texels.data());
}

void set(const Program& program, const char* name, dvec3 v) {
  glUniform3f(program.uniform(name), static_cast<float>(v.x), static_cast<float>(v.y), static_cast<float>(v.z));
}

}  // namespace

Renderer::Renderer(const ShaderLoader& load) : triangle_("full-screen triangle"), any_("pixels left") {
  if (GLAD_GL_KHR_debug) {
    glEnable(GL_DEBUG_OUTPUT);
    glEnable(GL_DEBUG_OUTPUT_SYNCHRONOUS);
    glDebugMessageCallback(on_message, &complaints_);
  }
  struct Pass { Program& program; const char* path; ShaderSource source; };
  std::vector<Pass> passes{{corners_, "passes/corners.glsl", {}}, {sheen_nodes_, "passes/sheen_nodes.glsl", {}}, {sheen_fit_, "passes/sheen_fit.glsl", {}},
                           {faces_, "passes/faces.glsl", {}},     {mixed_, "passes/mixed.glsl", {}},             {exact_, "passes/exact.glsl", {}},
                           {count_, "passes/count.glsl", {}}};
  const ShaderSource vertex = assemble_shader(load, "passes/full_screen.glsl");
  for (Pass& pass : passes) {
    pass.source = assemble_shader(load, pass.path);
    pass.program = Program(pass.path, vertex.text, pass.source.text);
  }
  for (Pass& pass : passes) {
    try {
      pass.program.finish();
    } catch (const std::runtime_error& error) {
      throw std::runtime_error(pass.source.named(error.what()));
    }
  }
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

void Renderer::use(const Program& program, const Scene& scene, const Camera& camera) {
  program.use();
  glUniform1i(program.uniform("scene_table"), scene_unit);
  std::array<float, 4 * header_rows> header{};
  for (std::size_t i = 0; i < std::min(scene.rows.size(), header_rows); ++i)
    for (int c = 0; c < 4; ++c) header[4 * i + c] = static_cast<float>(scene.rows[i][c]);
  glUniform4fv(program.uniform("header_rows"), static_cast<GLsizei>(header_rows), header.data());
  glUniform1i(program.uniform("corner_ids"), corners_unit);
  glUniform1i(program.uniform("sheen_grids"), grids_unit);
  glUniform1i(program.uniform("sheen_table"), sheen_unit);
  set(program, "eye", camera.eye);
  set(program, "corner", camera.corner);
  set(program, "step_x", camera.step_x);
  set(program, "step_y", camera.step_y);
  glUniform1i(program.uniform("facing"), camera.facing);
  glUniform1f(program.uniform("footprint_angle"), static_cast<float>(camera.footprint_angle));
  glUniform1f(program.uniform("footprint"), static_cast<float>(camera.footprint));
}

void Renderer::cover(const Program& program, int width, int height, float depth) const {
  glUniform1f(program.uniform("depth"), depth);
  glViewport(0, 0, width, height);
  glEnable(GL_SCISSOR_TEST);
  for (int y = 0; y < height; y += tile_height)
    for (int x = 0; x < width; x += tile_width) {
      glScissor(x, y, std::min(tile_width, width - x), std::min(tile_height, height - y));
      glDrawArrays(GL_TRIANGLES, 0, 3);
      glFlush();
    }
  glDisable(GL_SCISSOR_TEST);
}

Texture Renderer::sheen_of(const Scene& scene, const Camera& camera, const SheenLayout& layout) {
  const int degree = layout.degree, width = std::max(layout.width, 1), height = std::max(layout.height, 1);
  const Texture values("sheen at nodes", GL_RGBA32F, width * layout.value_layers(), height);
  Texture fit("sheen", GL_RGBA32F, width * SheenLayout::fit_layers, height);
  const Framebuffer into_values("sheen at nodes", values), into_fit("sheen", fit);
  const std::vector<double> nodes = slope_nodes(degree);
  into_values.bind();
  use(sheen_nodes_, scene, camera);
  glUniform1f(sheen_nodes_.uniform("depth"), 0);
  for (const SheenGrid& grid : layout.grids) {
    glUniform1i(sheen_nodes_.uniform("node_surface"), grid.surface);
    glUniform4f(sheen_nodes_.uniform("node_grid"), static_cast<float>(grid.first.x), static_cast<float>(grid.first.y),
                static_cast<float>(grid.spacing.x), static_cast<float>(grid.spacing.y));
    const int layers = grid.reach > 0 ? layout.value_layers() : 1;
    for (int layer = 0; layer < layers; ++layer) {
      dvec2 slope(0);
      if (layer == layers - 1 && layer > 0) slope = dvec2(mixed_slope);
      else if (layer > degree) slope.y = nodes[static_cast<std::size_t>(layer - 1 - degree)];
      else if (layer > 0) slope.x = nodes[static_cast<std::size_t>(layer - 1)];
      slope *= grid.reach;
      glUniform2f(sheen_nodes_.uniform("node_slope"), static_cast<float>(slope.x), static_cast<float>(slope.y));
      glUniform2f(sheen_nodes_.uniform("node_corner"), static_cast<float>(layer * width), static_cast<float>(grid.row));
      glViewport(layer * width, grid.row, grid.nx, grid.ny);
      glDrawArrays(GL_TRIANGLES, 0, 3);
      glFlush();
    }
  }
  into_fit.bind();
  use(sheen_fit_, scene, camera);
  values.bind(sheen_unit);
  glUniform1i(sheen_fit_.uniform("sheen_values"), sheen_unit);
  glUniform1i(sheen_fit_.uniform("sheen_layer"), width);
  glUniform1i(sheen_fit_.uniform("sheen_degree"), degree);
  glUniform1f(sheen_fit_.uniform("depth"), 0);
  const std::vector<double> matrix = slope_fit(degree);
  const std::vector<float> shares(matrix.begin(), matrix.end());
  glUniform1fv(sheen_fit_.uniform("fit"), static_cast<GLsizei>(shares.size()), shares.data());
  glUniform1f(sheen_fit_.uniform("mixed_slope"), static_cast<float>(mixed_slope));
  for (const SheenGrid& grid : layout.grids) {
    glUniform2i(sheen_fit_.uniform("fit_nodes"), grid.nx, grid.ny);
    for (int layer = 0; layer < (grid.reach > 0 ? SheenLayout::fit_layers : 1); ++layer) {
      glUniform1i(sheen_fit_.uniform("fit_of"), layer);
      glUniform2i(sheen_fit_.uniform("fit_corner"), layer * width, grid.row);
      glViewport(layer * width, grid.row, grid.nx, grid.ny);
      glDrawArrays(GL_TRIANGLES, 0, 3);
    }
  }
  return fit;
}

Image Renderer::both(const Scene& scene, const View& view, bool by_kernels) {
  const std::vector<float> paper = draw(scene, view, by_kernels);
  std::vector<float> compound;
  if (!scene.over_compound.empty()) compound = draw({scene.over_compound, {}}, view, by_kernels);
  Image out(view.width, view.height, 3);
  for (std::size_t i = 0; i < paper.size() / 4; ++i) {
    for (std::size_t c = 0; c < 3; ++c) out.pixels[i * 3 + c] = paper[i * 4 + c];
    // the mean by area: paper[.. + 3] is the share that compound covers
    if (!compound.empty()) out.pixels[i * 3] += paper[i * 4 + 3] * (compound[i * 4] - paper[i * 4]);
  }
  return out;
}

std::vector<float> Renderer::draw(const Scene& scene, const View& view, bool by_kernels) {
  const Camera camera = camera_of(scene, view);
  const SheenLayout layout = lay_out_sheen(scene, camera, view);
  const Texture table = upload(scene), grids = upload_grids(scene, layout);
  const Texture ids("corner ids", GL_RGBA32F, view.width + 1, view.height + 1);
  const Texture picture("picture", GL_RGBA32F, view.width, view.height);
  const DepthBuffer marks("marks", view.width, view.height);
  const Framebuffer into_ids("corner ids", ids), into_picture("picture", picture, &marks);
  triangle_.bind();
  glDisable(GL_DEPTH_TEST);
  glDisable(GL_BLEND);
  table.bind(scene_unit);
  into_ids.bind();
  use(corners_, scene, camera);
  cover(corners_, ids.width(), ids.height());
  const Texture sheen = sheen_of(scene, camera, layout);
  ids.bind(corners_unit);
  grids.bind(grids_unit);
  sheen.bind(sheen_unit);
  const auto pass = [&](const Program& program) {
    use(program, scene, camera);
    glUniform1i(program.uniform("sheen_layer"), std::max(layout.width, 1));
    glUniform1i(program.uniform("sheen_degree"), layout.degree);
  };
  into_picture.bind();
  glEnable(GL_DEPTH_TEST);
  glDepthFunc(GL_ALWAYS);
  glDepthMask(GL_TRUE);
  pass(faces_);
  glUniform1i(faces_.uniform("by_kernels"), by_kernels ? 1 : 0);
  cover(faces_, view.width, view.height);
  // what is left: only pixels with the pass's mark
  glDepthFunc(GL_EQUAL);
  glDepthMask(GL_FALSE);
  const auto rest = [&](const Program& program, float mark) {
    glColorMask(GL_FALSE, GL_FALSE, GL_FALSE, GL_FALSE);
    count_.use();
    any_.begin();
    cover(count_, view.width, view.height, mark);
    any_.end();
    glColorMask(GL_TRUE, GL_TRUE, GL_TRUE, GL_TRUE);
    // a driver may compile a program only when it is first drawn with, and these are large
    if (!any_.any()) return;
    pass(program);
    cover(program, view.width, view.height, mark);
  };
  rest(mixed_, mixed_mark);
  rest(exact_, exact_mark);
  glDisable(GL_DEPTH_TEST);
  std::vector<float> texels(static_cast<std::size_t>(view.width) * view.height * 4);
  glPixelStorei(GL_PACK_ALIGNMENT, 4);
  glReadPixels(0, 0, view.width, view.height, GL_RGBA, GL_FLOAT, texels.data());
  check("drawing a picture");
  return texels;
}

}  // namespace rakelight
