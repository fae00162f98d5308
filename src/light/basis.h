// What LightBasis holds; only src/light looks inside.
#pragma once
#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <memory>
#include <vector>

#include "base/large_memory.h"
#include "light/lamp.h"
#include "light/light.h"
#include "light/outside.h"
#include "light/receiver.h"
#include "light/sky_table.h"

namespace rakelight {

/// A patch is parted into 4 × 4 cells, row by row along u, that have direct light and reflectance of their own.
inline constexpr int cells = 16;

/// What a patch looks like from afar: its middle, its front, and its share of pi × area that is really there.
struct FarPatch { dvec3 centre, n; double area_over_pi, size2; };

/// Figures of many patches or cells, one list each, padded to full fours: middles, areas over pi; of patches their size2 too.
struct FarTable { std::vector<double> x, y, z, area, size2; };

/// Entries [begin, end) of a table.
struct Run { std::uint32_t begin = 0, end = 0; };
/// Unit light from one direction of the sky: the illuminance, or the light vector in a face's frame, per cd/m².
struct SkyIlluminance { SkyPlace place; float e; };
struct SkyVector { SkyPlace place; float x, y, n; };
/// Light vector per unit exitance of a cell.
struct CellVector { std::uint32_t cell; float x, y, n; };

/// Unit light on the field grid of one surface, and the gathering of bounced light on its coarser bounce nodes.
struct UnitField {
  int nx = 0, ny = 0;
  dvec2 origin{0}, step{1};
  std::vector<Run> run;                 ///< per node
  Table<SkyVector> sky;
  Table<float> even;              ///< [node][band][3]: light vector per cd/m² of each even band
  std::vector<double> bounce_x, bounce_y;  ///< ascending node coordinates
  std::vector<int> through_x, through_y;   ///< which of them go on from edge to edge; the others only along the edges
  std::vector<int> bounce_row;          ///< per node: which of the rows of `bounce` and `cell_run`; -1: it lies between nodes that have one
  std::shared_ptr<const float[]> bounce;  ///< [row][patch][3]: light vector per unit mean exitance
  std::vector<Run> cell_run;            ///< per row
  Table<CellVector> cell;
};

/// What the cells of a patch send to another's across a corner, of the room or of one recess: illuminance at cell k per unit exitance of cell c
/// at [16 k + c]. `mean`: what each of them sends to the patch's mean; `even`: what they send to cell k together.
struct CellsAcross { std::array<float, cells * cells> e; std::array<float, cells> mean, even; };
/// The patch that sends, and what: patches that lie alike share it.
struct Neighbour { int from = 0; const CellsAcross* sent = nullptr; };

/// What the cells of a part of a window's recess send through its opening to a patch of a face near by: mean illuminance per
/// unit exitance of cell c at [c].
struct FromRecess { int from = 0; std::array<float, cells> mean; };

/// What the patches of a whole face send to a patch's cells beside the corner of the two faces, those left out that are
/// Neighbours: illuminance at cell k per unit mean exitance of patch first + b at [count k + b], in LightBasis::from_faces. `even`: of all together.
struct Across { int first = 0, count = 0; const float* e = nullptr; std::array<double, cells> even; };

class LightBasis {
 public:
  LightDetail detail;
  std::vector<Patch> patch;
  std::vector<double> coverage;         ///< area / |u × v|: below 1 where an opening or the outline cuts a corner off
  std::vector<PatchGrid> grid;          ///< per surface
  std::vector<WindowParts> parts;       ///< per window
  std::vector<float> cell_share;        ///< per cell: share of its patch's area, 0 in openings and outside
  std::vector<float> cell_reflectance;  ///< per cell
  std::vector<FarPatch> far;            ///< per patch
  FarTable far_patches, far_cells;      ///< the same, and of their cells
  std::vector<char> whole;              ///< per patch of a face: neither openings nor the outline cut it
  Table<float> exchange;                ///< n × n, symmetric: A_i F_ij, rows summing to A_i
  std::vector<std::vector<Neighbour>> neighbours;  ///< per patch
  std::shared_ptr<const std::vector<CellsAcross>> across_corners;  ///< what they send
  std::vector<std::vector<FromRecess>> recesses;   ///< per patch of a face
  std::vector<std::vector<int>> lit_by_cells;      ///< per patch: of which patches it is a neighbour, or a part of a recess near by
  std::vector<std::vector<Across>> corner_faces;  ///< per patch of a face that touches a corner
  std::shared_ptr<const float[]> from_faces;      ///< what they send
  std::vector<Run> run;                 ///< per cell
  Table<SkyIlluminance> sky;
  EvenBands bands;
  Table<float> even;              ///< [cell][band]: lx per cd/m² of each even band
  std::vector<std::vector<float>> lamp; ///< per lamp of the job, per cell: lx at full output
  std::vector<UnitField> field;         ///< per surface; nx = 0 where none was asked for

  int count() const { return static_cast<int>(patch.size()); }
  dvec3 cell_centre(int j, int k) const {
    const Patch& p = patch[j];
    return p.corner + 0.25 * (k % 4 + 0.5) * p.u + 0.25 * (k / 4 + 0.5) * p.v;
  }
  /// Exitance s cells across and t up from the middle of a face's cell, |s| and |t| up to ½, as take(cell, weight): the parabola
  /// that gives this cell and the two beside it their means, so that no light is lost where it bends (straight lines take 3 % off
  /// the crest under a strip of light). Along the face's edge light often falls off to nothing: there it is even beyond the last
  /// middle, and the value that gives the cell its mean is 8/7 of it less 1/7 of the next.
  template <class Take>
  void between_cells(int j, int k, double s, double t, Take&& take) const {
    const PatchGrid& g = grid[patch[j].surface];
    const CellTaps x = taps(4 * ((j - g.first) % g.nx) + k % 4, 4 * g.nx, s), y = taps(4 * ((j - g.first) / g.nx) + k / 4, 4 * g.ny, t);
    for (int b = 0; b < 4; ++b)
      for (int a = 0; a < 4; ++a) {
        const double weight = x.weight[a] * y.weight[b];
        if (weight == 0) continue;
        const int column = x.first + a, row = y.first + b;
        const int c = cells * (g.first + row / 4 * g.nx + column / 4) + row % 4 * 4 + column % 4;
        take(cell_share[c] > 0 ? c : cells * j + k, weight);
      }
  }

 private:
  struct CellTaps { int first = 0; std::array<double, 4> weight{}; };
  /// Along one side of `count` cells, 4 at least, at `off` from the middle of cell `at`.
  static CellTaps taps(int at, int count, double off) {
    CellTaps found;
    found.first = std::clamp(at - 1, 0, count - 4);
    const auto add = [&](int cell, double share) { found.weight[static_cast<std::size_t>(cell - found.first)] += share; };
    if (at > 0 && at < count - 1) {
      const double bend = 0.5 * (off * off - 1.0 / 12);
      add(at - 1, bend - 0.5 * off);
      add(at, 1 - 2 * bend);
      add(at + 1, bend + 0.5 * off);
      return found;
    }
    const int next = at == 0 ? 1 : count - 2;
    const double inwards = std::max(0.0, at == 0 ? off : -off);
    add(at, (1 - inwards) * 8 / 7);
    add(next, inwards - (1 - inwards) / 7);
    return found;
  }
};

/// What a covered pane's cells send on of light that comes through the bare glass, lm/m² per lx, over their reflectance, so
/// that it counts as light on them; 0 of all other patches. Light that goes to and fro between cover and glass comes on scattered:
/// s + (d + s) r g / (1 − r g), with the cover's shares d and s that pass, its reflectance r and the glass's g.
double cover_glow(const Room& room, const LightBasis& basis, int j);
/// Patches, grids, parts, cells and coverage of a room.
void make_patches(const Room& room, LightBasis& basis);
/// Sum of row[j] x[j]: in float over blocks of 64 (1e-7 of it), in double over blocks.
double row_times(const float* row, const std::vector<float>& x);
/// The same of count numbers at row and x.
double row_times(const float* row, const float* x, std::size_t count);
/// A lamp's mean illuminance on cell k of patch j, lx: at its middle, from a lamp nearer than six times its size at four
/// Gauss nodes, nearer than three times at sixteen.
double lamp_on_cell(const Room& room, const LightBasis& basis, const Lamp& lamp, const LampLight& light, int j, int k);
/// Cells beside cells across corners, faces beside cells, and recesses beside patches.
void make_neighbours(const Room& room, LightBasis& basis);
/// The exchange matrix.
void make_exchange(const Room& room, LightBasis& basis);
}  // namespace rakelight
