#include "draw/sheen_table.h"

#include <Eigen/Dense>
#include <algorithm>
#include <array>
#include <cmath>

#include "base/units.h"
#include "draw/stipple.h"
#include "kernel/scene.h"

namespace rakelight {
namespace {

// nodes of the flat value on faces with relief, on others and in drafts: light varies over the distance to windows and corners
constexpr kernel::NodeSpread near_spread{0.01, 0.12, 0.05}, far_spread{0.012, 0.1, 0.05}, draft_spread{0.08, 0.5, 0.4};
// those of tilted facets, and in drafts
constexpr kernel::NodeSpread slope_spread{0.03, 0.4, 0.2}, slope_draft_spread{0.15, 0.6, 0.8};
// pixels between nodes: closer pictures have closer nodes
constexpr double pixels_apart = 16;
// the most values of a picture's table; large rooms get wider spacings
constexpr double most_nodes = 240000;
// nodes stand clear of the corners of the room, where rays would start on the next face
constexpr double inset = 1e-3;
// the polynomial of degree 8 holds up to this slope over the sharper lobe's roughness
constexpr double farthest_turn = 1.2;
// nodes that a pixel's four by four may lie away, and those that tell how the table bends there
constexpr int support = 5;

/// The four planes between which a picture's rays run, normals inwards.
std::array<dvec3, 4> frustum(const Camera& camera, const View& view) {
  const dvec3 across = double(view.width) * camera.step_x, down = double(view.height) * camera.step_y;
  const std::array<dvec3, 4> corners{camera.corner, camera.corner + across, camera.corner + across + down, camera.corner + down};
  const dvec3 middle = camera.corner + 0.5 * (across + down);
  std::array<dvec3, 4> planes;
  for (std::size_t i = 0; i < 4; ++i) {
    const dvec3 n = glm::normalize(glm::cross(corners[i], corners[(i + 1) % 4]));
    planes[i] = glm::dot(n, middle) < 0 ? -n : n;
  }
  return planes;
}

/// Which of the places x, ascending, have level + slope x >= 0: from the first on, before the last; none: nothing lies between.
struct PlacesWithin { int first, last; };
PlacesWithin places_within(double level, double slope, const std::vector<double>& x) {
  const auto within = [&](double at) { return level + slope * at >= 0; };
  const int count = static_cast<int>(x.size());
  const bool begins = within(x.front()), ends = within(x.back());
  if (begins && ends) return {0, count};
  if (!begins && !ends) return {count, 0};
  const int turn = static_cast<int>(std::partition_point(x.begin(), x.end(), [&](double at) { return within(at) == begins; }) - x.begin());
  return begins ? PlacesWithin{0, turn} : PlacesWithin{turn, count};
}

/// Whether the face may have relief within a rectangle of its frame.
bool any_relief(kernel::SceneKernels& k, int surface, dvec2 lo, dvec2 hi) {
  if (k.surface_at(surface, 8).w > 0.5) return true;  // over framing
  const dvec4 cells = k.surface_at(surface, 10), box = k.surface_at(surface, 4);
  const int nx = k.whole(cells.y), ny = k.whole(cells.z);
  if (nx < 1 || ny < 1) return false;
  const auto cell = [&](double x, int count) { return std::clamp(static_cast<int>(x / cells.w), 0, count - 1); };
  for (int y = cell(lo.y - box.y, ny); y <= cell(hi.y - box.y, ny); ++y)
    for (int x = cell(lo.x - box.x, nx); x <= cell(hi.x - box.x, nx); ++x)
      if (k.scene_row(k.whole(cells.x) + (y * nx + x) * k.cell_stride()).x > -0.5) return true;
  return false;
}

/// Grids for a picture.
SheenLayout lay_out_grids(const std::vector<dvec4>& rows, const Camera& camera, const View& view) {
  kernel::SceneKernels k{rows.data()};
  SheenLayout layout;
  if (view.draft) layout.degree = 2;
  std::vector<dvec2> counts;
  double wanted = 0;
  for (int surface = 0; surface < k.surface_count(); ++surface) {
    if (!k.has_field(surface)) continue;
    const auto coat = k.surface_coat(surface);
    const double sharper = std::min(coat.alpha60, coat.alpha85), steepest = k.surface_at(surface, 11).z;
    const dvec4 box = k.surface_at(surface, 4);
    const dvec2 side{box.z - box.x, box.w - box.y};
    const double grain = view.stipple ? steepest_stipple(rows, surface) : 0, reach = std::min(steepest + grain, farthest_turn * sharper);
    if (reach > 0.3 * sharper && !view.draft) layout.degree = 8;
    for (const bool slopes : {false, true}) {
      if (slopes && reach <= 0) continue;
      SheenGrid grid;
      grid.surface = surface;
      grid.slopes = slopes;
      grid.reach = reach;
      if (slopes) grid.spread = view.draft ? slope_draft_spread : slope_spread;
      else grid.spread = view.draft ? draft_spread : steepest > 0 ? near_spread : far_spread;
      const auto node = [&](dvec2 p) { return dvec2(kernel::node_of_place(grid.spread, p.x, side.x), kernel::node_of_place(grid.spread, p.y, side.y)); };
      const dvec2 lo(inset), hi = side - inset;
      grid.first = node(lo);
      dvec2 last = node(hi);
      double closer = 1;
      if (surface == camera.facing) {
        const dvec2 shown_lo = glm::clamp(view.region.lo - dvec2(box.x, box.y), lo, hi), shown_hi = glm::clamp(view.region.hi - dvec2(box.x, box.y), lo, hi);
        const dvec2 from = node(shown_lo), to = node(shown_hi);
        const dvec2 spacing = (shown_hi - shown_lo) / glm::max(to - from, dvec2(1e-9));
        closer = std::max(1.0, std::max(spacing.x, spacing.y) / ((slopes ? 2 : 1) * pixels_apart * camera.footprint));
        grid.first = glm::max(from - 2 / closer, grid.first);
        last = glm::min(to + 2 / closer, last);
      }
      grid.step = dvec2(1 / closer);
      layout.grids.push_back(grid);
      // a region beside the face still has a grid
      counts.push_back(glm::max(last - grid.first, dvec2(1e-3)));
      wanted += counts.back().x * counts.back().y * closer * closer * (slopes ? layout.value_layers() : 1);
    }
  }
  const double wider = std::sqrt(std::max(1.0, wanted / most_nodes));
  for (std::size_t i = 0; i < layout.grids.size(); ++i) {
    SheenGrid& grid = layout.grids[i];
    const auto nodes = [&](double count, double step) { return std::max(4, static_cast<int>(std::ceil(count / (wider * step))) + 1); };
    grid.nx = nodes(counts[i].x, grid.step.x);
    grid.ny = nodes(counts[i].y, grid.step.y);
    grid.step = {counts[i].x / (grid.nx - 1), counts[i].y / (grid.ny - 1)};
    grid.row = layout.height;
    layout.height += grid.ny;
    layout.width = std::max(layout.width, grid.nx);
    if (grid.slopes) layout.layer = std::max(layout.layer, grid.nx);
  }
  return layout;
}

}  // namespace

std::vector<float> SheenLayout::grid_rows(const std::vector<dvec4>& rows) const {
  const int surfaces = std::max(1, static_cast<int>(rows.empty() ? 0 : rows[0].x));
  std::vector<float> numbers(static_cast<std::size_t>(surfaces) * 24, 0.0f);
  for (const SheenGrid& g : grids) {
    const std::array<double, 12> values{double(g.row), double(g.nx), double(g.ny), g.reach, g.first.x, g.first.y, g.step.x, g.step.y, g.spread.least, g.spread.growth, g.spread.most, 0};
    for (std::size_t i = 0; i < 12; ++i) numbers[24 * static_cast<std::size_t>(g.surface) + (g.slopes ? 12 : 0) + i] = static_cast<float>(values[i]);
  }
  return numbers;
}

const SheenLayout& SheenPlanner::lay_out(const std::vector<dvec4>& rows, bool same_rows, const Camera& camera, const View& view) {
  const auto same_view = [&] {
    if (facing_ != camera.facing || view_.draft != view.draft || view_.stipple != view.stipple) return false;
    return camera.facing < 0 || (view_.width == view.width && view_.height == view.height && view_.region.lo == view.region.lo && view_.region.hi == view.region.hi);
  };
  kernel::SceneKernels k{rows.data()};
  if (!laid_out_ || !same_rows || !same_view()) {
    layout_ = lay_out_grids(rows, camera, view);
    lattices_.clear();
    for (const SheenGrid& grid : layout_.grids) {
      const dvec4 box = k.surface_at(grid.surface, 4);
      Lattice& lattice = lattices_.emplace_back();
      lattice.frame = k.surface_frame(grid.surface);
      std::vector<double>&xs = lattice.x, &ys = lattice.y;
      for (int i = -support; i < grid.nx + support; ++i) xs.push_back(box.x + kernel::place_of_node(grid.spread, grid.first.x + grid.step.x * i, box.z - box.x));
      for (int j = -support; j < grid.ny + support; ++j) ys.push_back(box.y + kernel::place_of_node(grid.spread, grid.first.y + grid.step.y * j, box.w - box.y));
      if (!grid.slopes) continue;
      const bool grain = view.stipple && steepest_stipple(rows, grid.surface) > 0;
      for (std::size_t j = 0; j + 2 * support < ys.size(); ++j)
        for (std::size_t i = 0; i + 2 * support < xs.size(); ++i)
          lattice.relief.push_back(grain || any_relief(k, grid.surface, {xs[i], ys[j]}, {xs[i + 2 * support], ys[j + 2 * support]}));
    }
    view_ = view;
    facing_ = camera.facing;
    laid_out_ = true;
  }
  const std::array<dvec3, 4> planes = frustum(camera, view);
  layout_.wanted.clear();
  std::vector<std::array<PlacesWithin, 4>> within;
  for (const bool slopes : {false, true}) {
    for (std::size_t g = 0; g < layout_.grids.size(); ++g) {
      const SheenGrid& grid = layout_.grids[g];
      if (grid.slopes != slopes) continue;
      const Lattice& lattice = lattices_[g];
      within.resize(lattice.y.size());
      for (std::size_t j = 0; j < lattice.y.size(); ++j) {
        const dvec3 from = lattice.frame.origin + lattice.y[j] * lattice.frame.y - camera.eye;
        for (std::size_t n = 0; n < 4; ++n) within[j][n] = places_within(glm::dot(planes[n], from), glm::dot(planes[n], lattice.frame.x), lattice.x);
      }
      for (int j = 0; j < grid.ny; ++j) {
        // in sight unless one plane has all four corners without
        const auto &above = within[static_cast<std::size_t>(j)], &below = within[static_cast<std::size_t>(j) + 2 * support];
        int first = 0, last = grid.nx;
        for (std::size_t n = 0; n < 4; ++n) {
          first = std::max(first, std::min(above[n].first, below[n].first) - 2 * support);
          last = std::min(last, std::max(above[n].last, below[n].last));
        }
        const SheenLayout::Wanted of_row{static_cast<std::uint32_t>(grid.row + j) << 16, static_cast<std::uint32_t>(grid.surface) << 1 | static_cast<std::uint32_t>(slopes)};
        const std::size_t before = layout_.wanted.size();
        layout_.wanted.resize(before + static_cast<std::size_t>(std::max(last - first, 0)));
        SheenLayout::Wanted* next = layout_.wanted.data() + before;
        for (int i = first; i < last; ++i)
          if (!slopes || lattice.relief[static_cast<std::size_t>(j) * grid.nx + i]) *next++ = {of_row.at | static_cast<std::uint32_t>(i), of_row.of};
        layout_.wanted.resize(static_cast<std::size_t>(next - layout_.wanted.data()));
      }
    }
    if (!slopes) layout_.wanted_flat = layout_.wanted.size();
  }
  return layout_;
}

std::vector<double> slope_nodes(int degree) {
  std::vector<double> nodes;
  for (int j = 0; j <= degree; ++j)
    if (2 * j != degree) nodes.push_back(-std::cos(pi * j / degree));
  return nodes;
}

std::vector<dvec2> layer_slopes(int degree) {
  std::vector<dvec2> slopes{dvec2(0)};
  for (double s : slope_nodes(degree)) slopes.emplace_back(s, 0);
  for (double s : slope_nodes(degree)) slopes.emplace_back(0, s);
  if (degree > 2) slopes.emplace_back(mixed_slope);
  return slopes;
}

std::vector<double> slope_fit(int degree) {
  const std::vector<double> nodes = slope_nodes(degree);
  Eigen::MatrixXd powers(degree, degree);
  for (int j = 0; j < degree; ++j)
    for (int i = 0; i < degree; ++i) powers(j, i) = std::pow(nodes[static_cast<std::size_t>(j)], i + 1);
  const Eigen::MatrixXd inverse = powers.inverse();
  std::vector<double> fit;
  for (int i = 0; i < degree; ++i)
    for (int j = 0; j < degree; ++j) fit.push_back(inverse(i, j));
  return fit;
}

}  // namespace rakelight
