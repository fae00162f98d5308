#include "draw/sheen_table.h"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>

#include "base/units.h"
#include "kernel/scene.h"

namespace rakelight {
namespace {

// m between nodes on faces with relief and on others: light varies over the distance to windows and corners
constexpr double near_spacing = 0.055, far_spacing = 0.10;
// pixels between nodes: closer pictures have closer nodes
constexpr double pixels_apart = 16;
// a draft's nodes stand this many times farther apart
constexpr double draft_wider = 5;
// the most nodes of a picture; large rooms get wider spacings
constexpr double most_nodes = 24000;
// nodes stand clear of the corners of the room, where rays would start on the next face
constexpr double inset = 1e-3;
// the polynomial of degree 8 holds up to this slope over the sharper lobe's roughness
constexpr double farthest_turn = 1.2;

}  // namespace

SheenLayout lay_out_sheen(const Scene& scene, const Camera& camera, const View& view) {
  kernel::SceneKernels k{scene.rows.data()};
  SheenLayout layout;
  std::vector<dvec2> sizes;
  std::vector<double> spacings;
  double wanted = 0;
  for (int surface = 0; surface < k.surface_count(); ++surface) {
    if (!k.has_field(surface)) continue;
    const auto coat = k.surface_coat(surface);
    const double sharper = std::min(coat.alpha60, coat.alpha85), steepest = k.surface_at(surface, 11).z;
    const dvec4 box = k.surface_at(surface, 4);
    dvec2 lo = dvec2(box.x, box.y) + inset, hi = dvec2(box.z, box.w) - inset;
    double spacing = (steepest > 0 ? near_spacing : far_spacing) * (view.draft ? draft_wider : 1);
    if (surface == camera.facing) {
      spacing = std::min(spacing, pixels_apart * camera.footprint);
      lo = glm::clamp(view.region.lo - 2.0 * spacing, lo, hi);
      hi = glm::clamp(view.region.hi + 2.0 * spacing, lo, hi);
    }
    SheenGrid grid;
    grid.surface = surface;
    grid.first = lo;
    grid.reach = std::min(steepest, farthest_turn * sharper);
    if (grid.reach > 0.3 * sharper) layout.degree = 8;
    layout.grids.push_back(grid);
    // a region beside the face still has a grid
    sizes.push_back(glm::max(hi - lo, dvec2(1e-3)));
    spacings.push_back(spacing);
    wanted += sizes.back().x * sizes.back().y / (spacing * spacing);
  }
  const double wider = std::sqrt(std::max(1.0, wanted / most_nodes));
  for (std::size_t i = 0; i < layout.grids.size(); ++i) {
    SheenGrid& grid = layout.grids[i];
    const auto nodes = [&](double size) { return std::max(4, static_cast<int>(std::ceil(size / (wider * spacings[i]))) + 1); };
    grid.nx = nodes(sizes[i].x);
    grid.ny = nodes(sizes[i].y);
    grid.spacing = {sizes[i].x / (grid.nx - 1), sizes[i].y / (grid.ny - 1)};
    grid.row = layout.height;
    layout.height += grid.ny;
    layout.width = std::max(layout.width, grid.nx);
  }
  return layout;
}

std::vector<double> slope_nodes(int degree) {
  std::vector<double> nodes;
  for (int j = 0; j <= degree; ++j)
    if (2 * j != degree) nodes.push_back(-std::cos(pi * j / degree));
  return nodes;
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
