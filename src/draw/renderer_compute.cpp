// The picture passes as compute shaders: the same text as the fragment shaders', but pixels that are few and far between
// are drawn out of lists, so that a graphics card's threads that run together all have one to draw.
#include <algorithm>
#include <array>
#include <stdexcept>

#include "draw/renderer.h"

namespace rakelight {
namespace {

constexpr int wanted_unit = 4;   // as in renderer.cpp
constexpr int list_binding = 1;   // also in shaders/passes/pixel_list.glsl
constexpr int group = 8, list_group = 64;   // also in shaders/passes/compute.glsl and compute_list.glsl
// pixels in one dispatch, as in one draw
constexpr int tile_width = 480, tile_height = 270, list_pixels = 32768;

GLuint groups(int count, int of) { return static_cast<GLuint>((count + of - 1) / of); }

void write_into(const Texture& target) { glBindImageTexture(0, target.name(), 0, GL_FALSE, 0, GL_WRITE_ONLY, GL_RGBA32F); }

void dispatch_tiles(const Program& program, int width, int height) {
  for (int y = 0; y < height; y += tile_height)
    for (int x = 0; x < width; x += tile_width) {
      const int right = std::min(width, x + tile_width), top = std::min(height, y + tile_height);
      glUniform4i(program.uniform("tile"), x, y, right, top);
      glDispatchCompute(groups(right - x, group), groups(top - y, group), 1);
      glFlush();
    }
}

}  // namespace

bool Renderer::can_compute() { return GLAD_GL_VERSION_4_3 != 0; }

void Renderer::draw_by_compute(bool yes) {
  if (yes && !can_compute()) throw std::runtime_error("compute shaders need OpenGL 4.3; this driver has " + version());
  if (yes && !compute_) {
    auto made = std::make_unique<Compute>();
    compile({{made->corners, "passes/corners_compute.glsl", true},
             {made->sheen_nodes, "passes/sheen_nodes_compute.glsl", true},
             {made->faces, "passes/faces_compute.glsl", true},
             {made->mixed, "passes/mixed_compute.glsl", true},
             {made->exact, "passes/exact_compute.glsl", true}});
    made->left = PixelLists("pixels left");
    compute_ = std::move(made);
  }
  if (!yes && !fragments_) {
    auto made = std::make_unique<Fragments>();
    compile({{made->corners, "passes/corners.glsl"},
             {made->sheen_nodes, "passes/sheen_nodes.glsl"},
             {made->faces, "passes/faces.glsl"},
             {made->mixed, "passes/mixed.glsl"},
             {made->exact, "passes/exact.glsl"}});
    fragments_ = std::move(made);
  }
  by_compute_ = yes;
}

void Renderer::compute_corners(const std::vector<dvec4>& rows, const Camera& camera, const View& view) {
  use(compute_->corners, rows, camera);
  write_into(targets_.ids);
  dispatch_tiles(compute_->corners, view.width + 1, view.height + 1);
  glMemoryBarrier(GL_TEXTURE_FETCH_BARRIER_BIT);
}

void Renderer::compute_sheen(const std::vector<dvec4>& rows, const Camera& camera, const SheenLayout& layout) {
  const Program& program = compute_->sheen_nodes;
  use(program, rows, camera);
  glUniform1i(program.uniform("sheen_wanted"), wanted_unit);
  glUniform1i(program.uniform("node_layer"), layout.layer);
  write_into(sheen_.values);
  const std::vector<dvec2> slopes = layer_slopes(layout.degree);
  for (const SheenGrid& grid : layout.grids) {
    std::vector<float> of_layer;
    for (const dvec2& slope : slopes)
      for (const double s : {slope.x, slope.y}) of_layer.push_back(static_cast<float>(grid.slopes ? s * grid.reach : 0));
    glUniform2fv(program.uniform("node_slope"), static_cast<GLsizei>(slopes.size()), of_layer.data());
    glUniform1i(program.uniform("node_surface"), grid.surface);
    glUniform1i(program.uniform("node_slopes"), grid.slopes ? 1 : 0);
    glUniform1i(program.uniform("node_row"), grid.row);
    const int layers = grid.slopes ? layout.value_layers() : 1;
    glUniform3i(program.uniform("node_count"), grid.nx, grid.ny, layers);
    glDispatchCompute(groups(grid.nx, group), groups(grid.ny, group), static_cast<GLuint>(layers));
    glFlush();
  }
  glMemoryBarrier(GL_TEXTURE_FETCH_BARRIER_BIT);
}

void Renderer::compute_pixels(const Scene& scene, const Camera& camera, const View& view, const SheenLayout& layout, bool by_kernels, bool over_compound, double slack) {
  const std::vector<dvec4>& rows = over_compound ? scene.over_compound : scene.rows;
  Compute& c = *compute_;
  c.left.empty(view.width * view.height);
  c.left.bind(list_binding);
  write_into(targets_.picture);
  use_table(c.faces, rows, camera, layout, slack);
  glUniform1i(c.faces.uniform("by_kernels"), by_kernels ? 1 : 0);
  glUniform1i(c.faces.uniform("only_covered"), over_compound ? 1 : 0);
  glUniform1i(c.faces.uniform("picture_width"), view.width);
  dispatch_tiles(c.faces, view.width, view.height);
  glMemoryBarrier(GL_BUFFER_UPDATE_BARRIER_BIT | GL_SHADER_STORAGE_BARRIER_BIT | GL_SHADER_IMAGE_ACCESS_BARRIER_BIT);
  step_done("faces");
  const std::array<GLuint, 2> counts = c.left.counts();
  const auto rest = [&](const Program& program, int count, int start, int step) {
    if (count == 0) return;
    use_table(program, rows, camera, layout, slack);
    glUniform1i(program.uniform("picture_width"), view.width);
    glUniform1i(program.uniform("list_start"), start);
    glUniform1i(program.uniform("list_step"), step);
    for (int first = 0; first < count; first += list_pixels) {
      const int last = std::min(count, first + list_pixels);
      glUniform1i(program.uniform("list_first"), first);
      glUniform1i(program.uniform("list_last"), last);
      glDispatchCompute(groups(last - first, list_group), 1, 1);
      glFlush();
    }
  };
  rest(c.mixed, static_cast<int>(counts[0]), 0, 1);
  step_done("edges and openings");
  rest(c.exact, static_cast<int>(counts[1]), c.left.room() - 1, -1);
  by_kernels_ = counts[1];
  glMemoryBarrier(GL_FRAMEBUFFER_BARRIER_BIT);
}

}  // namespace rakelight
