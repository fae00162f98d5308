#include "draw/renderer.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstring>
#include <stdexcept>
#include <vector>

#include "draw/scene_lacks.h"
#include "draw/stipple.h"
#include "light/parallel.h"

namespace rakelight {
namespace {

constexpr int scene_binding = 2;   // also in shaders/passes/scene_table.glsl
constexpr int scene_unit = 0, corners_unit = 1, grids_unit = 2, sheen_unit = 3, wanted_unit = 4;
constexpr int all_rays = 64;
constexpr std::size_t header_rows = 9;   // of the scene table, also in shaders/passes/scene_table.glsl
// third differences over the face's luminance up to which the table of sheen holds
constexpr double uneven_flat = 4e-2, uneven_slope = 6e-3;
// and the last terms of its polynomials
constexpr double uneven_last = 2e-4;
// a draft takes the table as it is, but for what mirrors windows
constexpr double uneven_draft = 1.2;
double slack(bool draft) { return draft ? 1e6 : 1; }
constexpr float mixed_mark = 0.5f, hidden_mark = 0.625f, windows_mark = 0.65625f, flats_mark = 0.6875f, tilts_mark = 0.71875f, exact_mark = 0.75f;  // depths, also in shaders/passes/pixels.glsl
// pixels in one draw: a laptop's driver resets a card whose single draw takes seconds
constexpr int tile_width = 480, tile_height = 270;
// nodes of the table of sheen in a row of their list, and rows in one draw
constexpr int list_width = 1024, list_tile = 64;

void GLAD_API_PTR on_message(GLenum, GLenum, GLuint, GLenum severity, GLsizei, const GLchar* text, const void* log) {
  if (severity == GL_DEBUG_SEVERITY_HIGH) *static_cast<std::string*>(const_cast<void*>(log)) += std::string("\n  ") + text;
}

std::string text_of(GLenum what) {
  const auto* text = reinterpret_cast<const char*>(glGetString(what));
  return text == nullptr ? "unknown" : text;
}

void set(const Program& program, const char* name, dvec3 v) {
  glUniform3f(program.uniform(name), static_cast<float>(v.x), static_cast<float>(v.y), static_cast<float>(v.z));
}

}  // namespace

Renderer::Renderer(const ShaderLoader& load, std::function<void(int, int)> ready) : triangle_("full-screen triangle"), left_("pixels left"), load_(load), ready_(std::move(ready)) {
  for (Table& table : tables_) table.buffer = RowBuffer("scene table");
  if (GLAD_GL_KHR_debug) {
    glEnable(GL_DEBUG_OUTPUT);
    glEnable(GL_DEBUG_OUTPUT_SYNCHRONOUS);
    glDebugMessageCallback(on_message, &complaints_);
  }
  // as many compilers at once as the driver likes
  if (GLAD_GL_KHR_parallel_shader_compile) glMaxShaderCompilerThreadsKHR(0xFFFFFFFFu);
  // a software rasteriser draws fragments as fast, and has compiled them sooner
  const std::string name = device();
  const bool card = name.find("llvmpipe") == std::string::npos && name.find("softpipe") == std::string::npos;
  fits_ = !card;
  by_compute_ = can_compute() && card;
  // most scenes lack all that can be lacked
  take_passes(scene_lacks({}), false, false, !by_compute_);
}

void Renderer::take_passes(const std::string& lacks, bool draft, bool stipple, bool kernels) {
  const std::string kind = by_compute_ ? "_compute" : "", of_scene = fits_ ? lacks : "";
  const std::string of_faces = of_scene + (stipple ? "#define STIPPLE\n" : ""), of_picture = of_faces + (!fits_ ? "" : draft ? "#define DRAFT\n" : "#define AT_REST\n");
  std::unique_ptr<CommonPasses>& common = common_sets_[kind + of_scene];
  std::unique_ptr<TabledPasses>& tabled = tabled_sets_[kind + of_picture];
  std::unique_ptr<Program>& tilts = tilts_sets_[kind + of_faces];
  std::unique_ptr<Program>& exact = exact_sets_[kind + of_faces];
  std::vector<Pass> passes;
  auto new_common = common ? nullptr : std::make_unique<CommonPasses>();
  auto new_tabled = tabled ? nullptr : std::make_unique<TabledPasses>();
  auto new_tilts = tilts ? nullptr : std::make_unique<Program>();
  auto new_exact = exact || !kernels ? nullptr : std::make_unique<Program>();
  const auto pass = [&](Program& program, const char* name, const std::string& defined) { passes.push_back({program, name + kind, defined}); };
  if (new_common) {
    pass(new_common->corners, "corners", of_scene);
    pass(new_common->sheen_nodes, "sheen_nodes", of_scene);
    pass(new_common->sheen_fit, "sheen_fit", of_scene);
    pass(new_common->flats, "flats", of_scene);
    if (!by_compute_) pass(new_common->count, "count", of_scene);
  }
  if (new_tabled) {
    pass(new_tabled->faces, "faces", of_picture);
    pass(new_tabled->mixed, "mixed", of_picture);
    pass(new_tabled->hidden, "hidden", of_picture);
  }
  if (new_tilts) pass(*new_tilts, "tilts", of_faces);
  if (new_exact) pass(*new_exact, "exact", of_faces);
  if (!passes.empty()) compile(std::move(passes));
  if (new_common) common = std::move(new_common);
  if (new_tabled) tabled = std::move(new_tabled);
  if (new_tilts) tilts = std::move(new_tilts);
  if (new_exact) exact = std::move(new_exact);
  common_ = common.get();
  tabled_ = tabled.get();
  tilts_ = tilts.get();
  exact_ = exact.get();
  if (!by_compute_ || lists_.made) return;
  lists_ = {StorageBuffer("pixels left"), StorageBuffer("how many pixels are left"), StorageBuffer("how many pixels are left, read"), StorageBuffer("sheen's grids"),
            StorageBuffer("sheen's nodes wanted"), StorageBuffer("sheen at nodes"), StorageBuffer("sheen"), true};
}

void Renderer::compile(std::vector<Pass> passes) {
  const ShaderSource vertex = assemble_shader(load_, "passes/full_screen.glsl");
  for (Pass& pass : passes) {
    const std::string path = "passes/" + pass.name + ".glsl";
    pass.source = assemble_shader(load_, path, by_compute_ ? 430 : 410, pass.defined);
    pass.program = by_compute_ ? Program(path.c_str(), pass.source.text) : Program(path.c_str(), vertex.text, pass.source.text);
  }
  const int all = static_cast<int>(passes.size());
  int done = 0;
  if (ready_) ready_(done, all);
  for (Pass& pass : passes) {
    try {
      pass.program.finish();
      if (ready_) ready_(++done, all);
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

void Renderer::use(const Program& program, const std::vector<dvec4>& rows, const Camera& camera) {
  program.use();
  glUniform1i(program.uniform("scene_table"), scene_unit);
  std::array<float, 4 * header_rows> header{};
  for (std::size_t i = 0; i < std::min(rows.size(), header_rows); ++i)
    for (int c = 0; c < 4; ++c) header[4 * i + c] = static_cast<float>(rows[i][c]);
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

void Renderer::use_table(const Program& program, const std::vector<dvec4>& rows, const Camera& camera, const SheenLayout& layout, bool draft) {
  use(program, rows, camera);
  glUniform1i(program.uniform(by_compute_ ? "sheen_width" : "sheen_layer"), by_compute_ ? layout.width : layout.layer);
  glUniform1i(program.uniform("sheen_degree"), layout.degree);
  glUniform1i(program.uniform("fit_layers"), layout.fit_layers());
  glUniform1i(program.uniform("draft"), draft ? 1 : 0);
  glUniform1i(program.uniform("each_ray"), 1);
  glUniform1f(program.uniform("uneven_slope"), static_cast<float>(slack(draft) * uneven_slope));
  std::vector<float> waves;
  for (const dvec4& wave : stipple_waves())
    for (int c = 0; c < 4; ++c) waves.push_back(static_cast<float>(wave[c]));
  glUniform4fv(program.uniform("stipple_rows"), static_cast<GLsizei>(waves.size() / 4), waves.data());
  glUniform1f(program.uniform("uneven_last"), static_cast<float>(slack(draft) * uneven_last));
}

void Renderer::begin_steps() {
  step_began_ = std::chrono::steady_clock::now();
  step_processor_ = std::clock();
  steps_stamped_ = 0;
  if (!step_times_ || step_clock_ != StepClock::device) return;
  if (step_stamps_.empty())
    for (int i = 0; i < 16; ++i) step_stamps_.emplace_back("step");
  step_stamps_[steps_stamped_++].mark();
}

void Renderer::step_done(const char* step) {
  if (!step_times_) return;
  if (step_clock_ == StepClock::wall) glFinish();
  else if (steps_stamped_ < step_stamps_.size()) step_stamps_[steps_stamped_++].mark();
  const auto now = std::chrono::steady_clock::now();
  const std::clock_t processor = std::clock();
  step_times_->push_back({step, std::chrono::duration<double>(now - step_began_).count(), static_cast<double>(processor - step_processor_) / CLOCKS_PER_SEC});
  step_began_ = now;
  step_processor_ = processor;
}

void Renderer::end_steps() {
  if (!step_times_ || steps_stamped_ < 2) return;
  const std::size_t steps = steps_stamped_ - 1, first = step_times_->size() - steps;
  for (std::size_t i = 0; i < steps; ++i) (*step_times_)[first + i].device = step_stamps_[i + 1].seconds() - step_stamps_[i].seconds();
  steps_stamped_ = 0;
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

void Renderer::make_room(int width, int height) {
  Targets& t = targets_;
  if (width <= t.picture.width() && height <= t.picture.height()) return;
  width = std::max(width, t.picture.width());
  height = std::max(height, t.picture.height());
  t = {};
  t.ids = Texture("corner ids", GL_R32F, width + 1, height + 1);
  t.picture = Texture("picture", GL_RGBA32F, width, height);
  t.marks = DepthBuffer("marks", width, height);
  t.into_ids = Framebuffer("corner ids", t.ids);
  t.into_picture = Framebuffer("picture", t.picture, &t.marks);
}

void Renderer::draw_sheen(const std::vector<dvec4>& rows, const Camera& camera, const SheenLayout& layout, bool draft) {
  SheenTargets& t = sheen_;
  // nodes wanted, the flat ones first, as many a row as the target is wide: of the flat ones one layer, of the others all
  const int flat = static_cast<int>(layout.wanted_flat), all = static_cast<int>(layout.wanted.size()), layers = layout.value_layers();
  const auto rows_of = [](int count) { return std::max(1, (count + list_width - 1) / list_width); };
  const int flat_rows = rows_of(flat), layer_rows = rows_of(all - flat), values_high = flat_rows + layers * layer_rows;
  if (values_high > t.values.height()) {
    t.into_values = {};
    t.values = Texture("sheen at nodes", GL_RGBA32F, list_width, values_high);
    t.into_values = Framebuffer("sheen at nodes", t.values);
  }
  const int fit_wide = std::max(layout.width, layout.layer * layout.fit_layers());
  if (layout.height > t.fit.height() || fit_wide > t.fit.width()) {
    const int high = std::max(layout.height, t.fit.height()), wide = std::max(fit_wide, t.fit.width());
    t.into_fit = {};
    t.fit = Texture("sheen", GL_RGBA32F, wide, high);
    t.into_fit = Framebuffer("sheen", t.fit);
  }
  std::vector<float> wanted(static_cast<std::size_t>(rows_of(all)) * list_width * 4, 0.0f), places(static_cast<std::size_t>(layout.width) * layout.height, -1.0f);
  for (std::size_t i = 0; i < layout.wanted.size(); ++i) {
    const SheenLayout::Wanted& node = layout.wanted[i];
    const std::array<int, 4> numbers{node.x(), node.y(), node.surface(), node.slopes() ? 1 : 0};
    for (std::size_t c = 0; c < 4; ++c) wanted[4 * i + c] = static_cast<float>(numbers[c]);
    places[static_cast<std::size_t>(node.y()) * layout.width + node.x()] = static_cast<float>(node.slopes() ? i - layout.wanted_flat : i);
  }
  t.wanted = Texture("sheen's nodes wanted", GL_RGBA32F, list_width, rows_of(all), wanted.data());
  t.places = Texture("where sheen's nodes stand", GL_R32F, layout.width, layout.height, places.data());
  const std::vector<float> grids = layout.grid_rows(rows);
  t.grids = Texture("sheen's grids", GL_RGBA32F, 6, static_cast<int>(grids.size() / 24), grids.data());
  t.grids.bind(grids_unit);
  t.wanted.bind(wanted_unit);
  const Program& nodes = common_->sheen_nodes;
  t.into_values.bind();
  use(nodes, rows, camera);
  glUniform1f(nodes.uniform("depth"), 0);
  glUniform1i(nodes.uniform("sheen_wanted"), wanted_unit);
  glUniform1i(nodes.uniform("each_ray"), each_ray(draft));
  glUniform1i(nodes.uniform("list_width"), list_width);
  std::vector<float> slopes;
  for (const dvec2& slope : layer_slopes(layout.degree))
    for (const double s : {slope.x, slope.y}) slopes.push_back(static_cast<float>(s));
  glUniform2fv(nodes.uniform("node_slope"), static_cast<GLsizei>(slopes.size() / 2), slopes.data());
  const auto draw_nodes = [&](int first, int last, int first_row, int high, int times) {
    if (first == last) return;
    glUniform1i(nodes.uniform("list_first"), first);
    glUniform1i(nodes.uniform("list_last"), last);
    glUniform1i(nodes.uniform("first_row"), first_row);
    glUniform1i(nodes.uniform("layer_rows"), high);
    const int wide = std::min(list_width, last - first);
    for (int row = 0; row < times * high; row += list_tile) {   // as in `cover`
      glViewport(0, first_row, wide, times * high);
      glEnable(GL_SCISSOR_TEST);
      glScissor(0, first_row + row, wide, std::min(list_tile, times * high - row));
      glDrawArrays(GL_TRIANGLES, 0, 3);
      glFlush();
    }
    glDisable(GL_SCISSOR_TEST);
  };
  draw_nodes(0, flat, 0, flat_rows, 1);
  draw_nodes(flat, all, flat_rows, layer_rows, layers);
  step_done("sheen at nodes");
  const Program& sheen_fit = common_->sheen_fit;
  t.into_fit.bind();
  use(sheen_fit, rows, camera);
  t.values.bind(sheen_unit);
  t.places.bind(wanted_unit);
  glUniform1i(sheen_fit.uniform("sheen_values"), sheen_unit);
  glUniform1i(sheen_fit.uniform("sheen_places"), wanted_unit);
  glUniform1i(sheen_fit.uniform("list_width"), list_width);
  glUniform1f(sheen_fit.uniform("depth"), 0);
  use_fit(sheen_fit, layout.degree, draft);
  for (const SheenGrid& grid : layout.grids) {
    const std::uint32_t of = static_cast<std::uint32_t>(grid.surface) << 1 | static_cast<std::uint32_t>(grid.slopes);
    if (std::none_of(layout.wanted.begin(), layout.wanted.end(), [&](const SheenLayout::Wanted& node) { return node.of == of; })) continue;
    glUniform1i(sheen_fit.uniform("node_surface"), grid.surface);
    glUniform1i(sheen_fit.uniform("node_slopes"), grid.slopes ? 1 : 0);
    glUniform1i(sheen_fit.uniform("first_row"), grid.slopes ? flat_rows : 0);
    glUniform1i(sheen_fit.uniform("layer_rows"), grid.slopes ? layer_rows : flat_rows);
    for (int layer = 0; layer < (grid.slopes ? layout.fit_layers() : 1); ++layer) {
      glUniform1i(sheen_fit.uniform("fit_of"), layer);
      glUniform2i(sheen_fit.uniform("fit_corner"), layer * layout.layer, grid.row);
      glViewport(layer * layout.layer, grid.row, grid.nx, grid.ny);
      glDrawArrays(GL_TRIANGLES, 0, 3);
    }
  }
  t.fit.bind(sheen_unit);
  step_done("sheen's fit");
}

void Renderer::use_fit(const Program& program, int degree, bool draft) {
  glUniform1i(program.uniform("sheen_degree"), degree);
  glUniform2f(program.uniform("uneven_flat"), static_cast<float>(slack(draft) * uneven_flat), static_cast<float>(draft ? uneven_draft : uneven_flat));
  const std::vector<double> matrix = slope_fit(degree);
  const std::vector<float> shares(matrix.begin(), matrix.end());
  glUniform1fv(program.uniform("fit"), static_cast<GLsizei>(shares.size()), shares.data());
  glUniform1f(program.uniform("mixed_slope"), static_cast<float>(mixed_slope));
}

Image Renderer::both(const Scene& scene, const View& view, bool by_kernels) {
  draw(scene, view, by_kernels);
  const std::vector<float> paper = read(view.width, view.height);
  std::vector<float> compound;
  if (!scene.over_compound.empty()) {
    draw(scene, view, by_kernels, true);
    compound = read(view.width, view.height);
  }
  Image out(view.width, view.height, 3);
  for_each_index(view.height, [&](int y) {
    const std::size_t first = static_cast<std::size_t>(y) * view.width;
    for (std::size_t i = first; i < first + view.width; ++i) {
      for (std::size_t c = 0; c < 3; ++c) out.pixels[i * 3 + c] = paper[i * 4 + c];
      // the mean by area: paper[.. + 3] is the share that compound covers
      if (!compound.empty()) out.pixels[i * 3] += paper[i * 4 + 3] * (compound[i * 4] - paper[i * 4]);
    }
  });
  return out;
}

std::vector<float> Renderer::read(int width, int height) {
  targets_.into_picture.bind();
  std::vector<float> texels(static_cast<std::size_t>(width) * height * 4);
  glPixelStorei(GL_PACK_ALIGNMENT, 4);
  glReadPixels(0, 0, width, height, GL_RGBA, GL_FLOAT, texels.data());
  check("drawing a picture");
  return texels;
}

void Renderer::draw(const Scene& scene, const View& view, bool by_kernels, bool over_compound) {
  begin_steps();
  const std::vector<dvec4>& rows = over_compound ? scene.over_compound : scene.rows;
  const Camera camera = camera_of(scene, view);
  Table& table = tables_[over_compound ? 1 : 0];
  const bool stipple = view.stipple && has_stipple(rows);
  const auto look_for_edges = [&] {
    take_passes(table.lacks, view.draft, stipple, by_kernels || !by_compute_);
    make_room(view.width, view.height);
    triangle_.bind();
    glDisable(GL_DEPTH_TEST);
    glDisable(GL_BLEND);
    if (by_compute_) {
      table.buffer.bind_storage(scene_binding);
      compute_corners(rows, camera, view);
    } else {
      table.buffer.bind(scene_unit);
      targets_.into_ids.bind();
      use(common_->corners, rows, camera);
      cover(common_->corners, view.width + 1, view.height + 1);
    }
  };
  // a card is set to work on the table it has while that is compared, megabytes of it: mostly nothing but the eye has moved
  const bool may_be_same = !rows.empty() && rows.size() == table.rows.size();
  if (may_be_same && by_compute_) look_for_edges();
  const bool same_rows = may_be_same && std::memcmp(rows.data(), table.rows.data(), rows.size() * sizeof rows[0]) == 0;
  if (!same_rows) {
    table.rows = rows;
    std::vector<float> numbers(4 * std::max<std::size_t>(rows.size(), 1), 0.0f);
    for (std::size_t i = 0; i < rows.size(); ++i)
      for (int c = 0; c < 4; ++c) numbers[i * 4 + c] = static_cast<float>(rows[i][c]);
    table.buffer.fill(numbers);
    table.lacks = scene_lacks(rows);
  }
  if (!same_rows || !by_compute_) look_for_edges();
  step_done("scene and edges");
  // while a card looks for edges
  const SheenLayout& layout = table.planner.lay_out(rows, same_rows, camera, view);
  step_done("layout");
  if (by_compute_) compute_sheen(rows, camera, layout, view.draft);
  else draw_sheen(rows, camera, layout, view.draft);
  targets_.ids.bind(corners_unit);
  if (by_compute_) compute_pixels(scene, camera, view, layout, by_kernels, over_compound, view.draft);
  else draw_pixels(scene, camera, view, layout, by_kernels, over_compound, view.draft);
  step_done("by the kernels");
  end_steps();
}

void Renderer::draw_pixels(const Scene& scene, const Camera& camera, const View& view, const SheenLayout& layout, bool by_kernels, bool over_compound, bool draft) {
  const auto pass = [&](const Program& program) { use_table(program, over_compound ? scene.over_compound : scene.rows, camera, layout, draft); };
  targets_.into_picture.bind();
  glEnable(GL_DEPTH_TEST);
  glDepthFunc(GL_ALWAYS);
  glDepthMask(GL_TRUE);
  pass(tabled_->faces);
  glUniform1i(tabled_->faces.uniform("by_kernels"), by_kernels ? 1 : 0);
  glUniform1i(tabled_->faces.uniform("only_covered"), over_compound ? 1 : 0);
  cover(tabled_->faces, view.width, view.height);
  step_done("faces");
  // what is left: only pixels with the pass's mark
  glDepthFunc(GL_EQUAL);
  glDepthMask(GL_FALSE);
  const auto rest = [&](const Program& program, float mark, int each = 1) {
    glColorMask(GL_FALSE, GL_FALSE, GL_FALSE, GL_FALSE);
    common_->count.use();
    left_.begin();
    cover(common_->count, view.width, view.height, mark);
    left_.end();
    glColorMask(GL_TRUE, GL_TRUE, GL_TRUE, GL_TRUE);
    // a driver may compile a program only when it is first drawn with, and these are large
    const GLuint left = left_.pixels();
    if (left == 0) return left;
    pass(program);
    glUniform1i(program.uniform("each_ray"), each);
    cover(program, view.width, view.height, mark);
    return left;
  };
  rest(tabled_->mixed, mixed_mark);
  step_done("edges and openings");
  drawn_for_hidden_ = rest(tabled_->hidden, hidden_mark);
  step_done("what relief may hide");
  // a software rasteriser goes through all rays of a choice not taken, but not of a loop cut short
  glEnable(GL_BLEND);
  glBlendFunc(GL_ONE, GL_ONE);
  drawn_for_flats_ = rest(common_->flats, flats_mark) + rest(common_->flats, windows_mark, all_rays);
  step_done("flat faces anew");
  drawn_for_tilts_ = rest(*tilts_, tilts_mark);
  glDisable(GL_BLEND);
  step_done("tilted facets anew");
  drawn_by_kernels_ = rest(*exact_, exact_mark);
  glDisable(GL_DEPTH_TEST);
}

}  // namespace rakelight
