// The sheen of faces as a table: what windows and the room add on a painted face varies slowly over it and smoothly with
// the slope of a facet, and is by far the dearest part of shading.
#pragma once
#include <cstdint>
#include <vector>

#include "draw/camera.h"
#include "kernel/nodes.h"
#include "kernel/scene.h"
#include "look/look.h"

namespace rakelight {

/// Nodes over one face's box or the part of it that a square-on picture shows, closer together near its edges. Every face
/// has one for its flat value, which windows that come into sight give kinks, and a wider one for what tilting adds.
struct SheenGrid {
  int surface = 0;
  bool slopes = false;      ///< of tilted facets
  int row = 0;              ///< first row in the table
  int nx = 0, ny = 0;       ///< nodes; at least 4 each
  kernel::NodeSpread spread{};
  dvec2 first{0}, step{0};  ///< node coordinate (shaders/kernels/nodes.glsl) of the first node and between two
  double reach = 0;         ///< the largest slope that the fit holds for
};

/// Layers of values: the flat face, `degree` slopes along x, as many along y, one along both (not of degree 2); then the fit
/// in five layers: the flat value or the mixed term, powers 1–4 along x, 1–4 along y, 5–8 along x, 5–8 along y. Of degree 2 it is one
/// layer: the flat value, or powers 1 and 2 along x and along y.
struct SheenLayout {
  std::vector<SheenGrid> grids;   ///< of faces with a field
  int layer = 1;                  ///< width of one layer, nodes
  int width = 1, height = 1;      ///< of the widest grid, and of all, nodes
  int degree = 4;                 ///< 4 or 8; of drafts 2
  /// A node that some pixel asks for, as shaders/passes/sheen_list.glsl reads it: column and row of the table, then the surface with
  /// the grid's kind in its lowest bit.
  struct Wanted {
    std::uint32_t at = 0, of = 0;
    int x() const { return static_cast<int>(at & 65535u); }
    int y() const { return static_cast<int>(at >> 16); }
    int surface() const { return static_cast<int>(of >> 1); }
    bool slopes() const { return (of & 1u) == 1u; }
  };
  std::vector<Wanted> wanted;     ///< those of flat values first
  std::size_t wanted_flat = 0;    ///< how many those are
  /// The grids as shaders/passes/sheen_grid.glsl reads them: six rows of four a surface. `rows`: of the scene's table.
  std::vector<float> grid_rows(const std::vector<dvec4>& rows) const;
  int value_layers() const { return degree > 2 ? 2 * degree + 2 : 5; }
  int fit_layers() const { return degree > 2 ? 5 : 1; }
};

/// Lays out the table for picture after picture. What hangs on the scene and on which part of a face is shown is kept from one to
/// the next, so that a picture from an eye that moved only asks anew which nodes are in sight.
class SheenPlanner {
 public:
  /// `rows`: of the scene's table; `same_rows`: as they were at the last call. Valid until the next.
  const SheenLayout& lay_out(const std::vector<dvec4>& rows, bool same_rows, const Camera& camera, const View& view);

 private:
  /// Of a grid: the corners of what may ask for its nodes, `support` nodes before the first to as many after the last.
  struct Lattice {
    std::vector<double> x, y;            ///< in the face's frame, m, ascending
    kernel::SceneKernels::FaceFrame frame{};
    std::vector<unsigned char> relief;   ///< of every node of a grid of slopes: whether the face may have relief where it is asked for
  };
  SheenLayout layout_;
  std::vector<Lattice> lattices_;
  View view_;
  int facing_ = -1;
  bool laid_out_ = false;
};

/// Slopes of the nodes over the largest, −1 to 1, without 0: Chebyshev points of the second kind.
std::vector<double> slope_nodes(int degree);
/// The slope of the node along both axes, over the largest.
inline constexpr double mixed_slope = 0.7071067811865476;
/// Slopes of the layers of a grid of tilted facets, over the largest.
std::vector<dvec2> layer_slopes(int degree);
/// The matrix that takes values at those nodes, less the value at 0, to the coefficients of powers 1 to `degree`; row by
/// row.
std::vector<double> slope_fit(int degree);

}  // namespace rakelight
