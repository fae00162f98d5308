// The picture passes as compute shaders: the same text as the fragment shaders', but pixels that are few and far between
// are drawn out of lists, so that a graphics card's threads that run together all have one to draw.
#include <algorithm>
#include <array>
#include <stdexcept>

#include "draw/renderer.h"
#include "draw/scene_lacks.h"

namespace rakelight {
namespace {

// also in shaders/passes: pixel_list.glsl, sheen_grid.glsl, sheen_table.glsl, sheen_nodes_compute.glsl, sheen_list.glsl, faces_compute.glsl
constexpr int list_binding = 1, grids_binding = 3, fit_binding = 4, values_binding = 5, wanted_binding = 6, counts_binding = 7;
// threads of a group and, of passes by lists, how many share a pixel or node: also in each pass's own file
constexpr int faces_wide = 16, faces_high = 32;
struct Shared { int group, sharers; };
constexpr Shared nodes_shared{256, 4}, fit_shared{64, 1}, mixed_shared{64, 4}, hidden_shared{64, 1}, flats_shared{512, 1}, tilts_shared{512, 2}, exact_shared{64, 1};
constexpr int corners_side = 16;            // of a group's square, also in corners_compute.glsl
// pixels in one dispatch: a laptop's card has a thousandth of the speed of the fastest, and still all to do at once
constexpr int group_width = 1280, group_height = 720, list_pixels = 65536;

GLuint groups(int count, int of) { return static_cast<GLuint>((count + of - 1) / of); }

void write_into(const Texture& target, GLenum format) { glBindImageTexture(0, target.name(), 0, GL_FALSE, 0, GL_WRITE_ONLY, format); }

void dispatch_tiles(const Program& program, int width, int height, int wide, int high) {
  for (int y = 0; y < height; y += group_height)
    for (int x = 0; x < width; x += group_width) {
      const int right = std::min(width, x + group_width), top = std::min(height, y + group_height);
      glUniform4i(program.uniform("tile"), x, y, right, top);
      glDispatchCompute(groups(right - x, wide), groups(top - y, high), 1);
      glFlush();
    }
}

}  // namespace

bool Renderer::can_compute() { return GLAD_GL_VERSION_4_3 != 0; }

void Renderer::draw_by_compute(bool yes) {
  if (yes && !can_compute()) throw std::runtime_error("compute shaders need OpenGL 4.3; this driver has " + version());
  by_compute_ = yes;
  take_passes(scene_lacks({}), false, false, !by_compute_);
}

void Renderer::compute_corners(const std::vector<dvec4>& rows, const Camera& camera, const View& view) {
  use(common_->corners, rows, camera);
  // they may be looked for again, when the scene has changed
  glMemoryBarrier(GL_SHADER_IMAGE_ACCESS_BARRIER_BIT);
  write_into(targets_.ids, GL_R32F);
  dispatch_tiles(common_->corners, view.width + 1, view.height + 1, corners_side, corners_side);
}

void Renderer::compute_sheen(const std::vector<dvec4>& rows, const Camera& camera, const SheenLayout& layout, bool draft) {
  CommonPasses& c = *common_;
  const std::vector<float> grids = layout.grid_rows(rows);
  lists_.grids.fill(grids.data(), grids.size() * sizeof grids[0]);
  lists_.wanted.fill(layout.wanted.data(), layout.wanted.size() * sizeof layout.wanted[0]);
  const std::size_t nodes = static_cast<std::size_t>(layout.width) * static_cast<std::size_t>(layout.height);
  lists_.values.make_room(nodes * static_cast<std::size_t>(layout.value_layers()) * 4 * sizeof(float));
  lists_.fit.make_room(nodes * static_cast<std::size_t>(layout.fit_layers()) * 4 * sizeof(float));
  lists_.grids.bind(grids_binding);
  lists_.fit.bind(fit_binding);
  lists_.values.bind(values_binding);
  lists_.wanted.bind(wanted_binding);
  const int flat = static_cast<int>(layout.wanted_flat), all = static_cast<int>(layout.wanted.size());
  const auto make = [&](const Program& program, const Shared& shared, int first, int last, int layers) {
    if (first == last) return;
    glUniform1i(program.uniform("sheen_nodes"), static_cast<GLint>(nodes));
    glUniform1i(program.uniform("sheen_width"), layout.width);
    glUniform1i(program.uniform("wanted_first"), first);
    glUniform1i(program.uniform("wanted_last"), last);
    glDispatchCompute(groups((last - first) * shared.sharers, shared.group), static_cast<GLuint>(layers), 1);
    glFlush();
  };
  use(c.sheen_nodes, rows, camera);
  glUniform1i(c.sheen_nodes.uniform("each_ray"), each_ray(draft));
  std::vector<float> slopes;
  for (const dvec2& slope : layer_slopes(layout.degree))
    for (const double s : {slope.x, slope.y}) slopes.push_back(static_cast<float>(s));
  glUniform2fv(c.sheen_nodes.uniform("node_slope"), static_cast<GLsizei>(slopes.size() / 2), slopes.data());
  make(c.sheen_nodes, nodes_shared, 0, flat, 1);
  make(c.sheen_nodes, nodes_shared, flat, all, layout.value_layers());
  glMemoryBarrier(GL_SHADER_STORAGE_BARRIER_BIT);
  step_done("sheen at nodes");
  use(c.sheen_fit, rows, camera);
  use_fit(c.sheen_fit, layout.degree, draft);
  glUniform1i(c.sheen_fit.uniform("fit_layers"), layout.fit_layers());
  make(c.sheen_fit, fit_shared, 0, all, 1);
  // and the corners' ids, which nothing has read so far
  glMemoryBarrier(GL_SHADER_STORAGE_BARRIER_BIT | GL_TEXTURE_FETCH_BARRIER_BIT);
  step_done("sheen's fit");
}

void Renderer::compute_pixels(const Scene& scene, const Camera& camera, const View& view, const SheenLayout& layout, bool by_kernels, bool over_compound, bool draft) {
  const std::vector<dvec4>& rows = over_compound ? scene.over_compound : scene.rows;
  CommonPasses& c = *common_;
  TabledPasses& t = *tabled_;
  const int pixels = view.width * view.height;
  lists_.left.make_room(4 * static_cast<std::size_t>(pixels) * sizeof(GLuint));
  lists_.left.bind(list_binding);
  std::array<GLuint, 4> counts{};
  lists_.counts.fill(counts.data(), sizeof counts);
  lists_.counts.bind(counts_binding);
  write_into(targets_.picture, GL_RGBA32F);
  use_table(t.faces, rows, camera, layout, draft);
  glUniform1i(t.faces.uniform("by_kernels"), by_kernels ? 1 : 0);
  glUniform1i(t.faces.uniform("only_covered"), over_compound ? 1 : 0);
  glUniform1i(t.faces.uniform("picture_width"), view.width);
  glUniform1i(t.faces.uniform("list_room"), pixels);
  dispatch_tiles(t.faces, view.width, view.height, faces_wide, faces_high);
  glMemoryBarrier(GL_BUFFER_UPDATE_BARRIER_BIT | GL_SHADER_STORAGE_BARRIER_BIT | GL_SHADER_IMAGE_ACCESS_BARRIER_BIT);
  lists_.counts_read.copy_from(lists_.counts, sizeof counts);
  step_done("faces");
  lists_.counts_read.read(counts.data(), sizeof counts);
  step_done("how many are left");
  const auto rest = [&](const Program& program, int list, const Shared& shared) {
    const int count = static_cast<int>(counts[static_cast<std::size_t>(list)]);
    if (count == 0) return;
    use_table(program, rows, camera, layout, draft);
    glUniform1i(program.uniform("picture_width"), view.width);
    glUniform1i(program.uniform("list_start"), list * pixels);
    for (int first = 0; first < count; first += list_pixels) {
      const int last = std::min(count, first + list_pixels);
      glUniform1i(program.uniform("list_first"), first);
      glUniform1i(program.uniform("list_last"), last);
      glDispatchCompute(groups((last - first) * shared.sharers, shared.group), 1, 1);
      glFlush();
    }
  };
  rest(t.mixed, 0, mixed_shared);
  step_done("edges and openings");
  rest(t.hidden, 1, hidden_shared);
  step_done("what relief may hide");
  // what is made anew is added to what stands there
  glMemoryBarrier(GL_SHADER_IMAGE_ACCESS_BARRIER_BIT);
  glBindImageTexture(0, targets_.picture.name(), 0, GL_FALSE, 0, GL_READ_WRITE, GL_RGBA32F);
  rest(c.flats, 3, flats_shared);
  step_done("flat faces anew");
  if (by_kernels) rest(*exact_, 2, exact_shared);
  else rest(*tilts_, 2, tilts_shared);
  step_done("tilted facets anew");
  drawn_for_hidden_ = counts[1];
  drawn_for_tilts_ = by_kernels ? 0 : counts[2];
  drawn_by_kernels_ = by_kernels ? counts[2] : 0;
  drawn_for_flats_ = counts[3];
  glMemoryBarrier(GL_FRAMEBUFFER_BARRIER_BIT);
}

}  // namespace rakelight
