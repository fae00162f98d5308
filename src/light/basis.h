// What LightBasis holds; only src/light looks inside.
#pragma once
#include <array>
#include <cstdint>
#include <memory>
#include <vector>

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
  std::vector<SkyVector> sky;
  std::vector<float> even;              ///< [node][band][3]: light vector per cd/m² of each even band
  std::vector<double> bounce_x, bounce_y;  ///< ascending node coordinates
  std::vector<float> bounce;            ///< [bounce node][patch][3]: light vector per unit mean exitance
  std::vector<Run> cell_run;            ///< per bounce node
  std::vector<CellVector> cell;
};

/// What the cells of a patch across a corner send to a patch's cells: illuminance at cell k per unit exitance of cell c
/// at [16 k + c].
struct Neighbour { int from = 0; std::array<float, cells * cells> e; };

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
  std::vector<float> exchange;          ///< n × n, symmetric: A_i F_ij, rows summing to A_i
  std::vector<std::vector<Neighbour>> neighbours;  ///< per patch of a face
  std::vector<Run> run;                 ///< per cell
  std::vector<SkyIlluminance> sky;
  EvenBands bands;
  std::vector<float> even;              ///< [cell][band]: lx per cd/m² of each even band
  std::vector<std::vector<float>> lamp; ///< per lamp of the job, per cell: lx at full output
  std::vector<UnitField> field;         ///< per surface; nx = 0 where none was asked for

  int count() const { return static_cast<int>(patch.size()); }
  dvec3 cell_centre(int j, int k) const {
    const Patch& p = patch[j];
    return p.corner + 0.25 * (k % 4 + 0.5) * p.u + 0.25 * (k / 4 + 0.5) * p.v;
  }
  /// The cell beside cell k of a face's patch j, across and up by -1, 0 or 1; the cell itself where there is none.
  int cell_beside(int j, int k, int across, int up) const;
};

/// What a covered pane's cells send on of light that comes through the bare glass, lm/m² per lx, over their reflectance, so
/// that it counts as light on them; 0 of all other patches. Light that goes to and fro between cover and glass comes on scattered:
/// s + (d + s) r g / (1 − r g), with the cover's shares d and s that pass, its reflectance r and the glass's g.
double cover_glow(const Room& room, const LightBasis& basis, int j);
/// Patches, grids, parts, cells and coverage of a room.
void make_patches(const Room& room, LightBasis& basis);
/// Sum of row[j] x[j]: in float over blocks of 64 (1e-7 of it), in double over blocks.
double row_times(const float* row, const std::vector<float>& x);
/// A lamp's mean illuminance on cell k of patch j, lx: at its middle, from a lamp nearer than six times its size at four
/// Gauss nodes, nearer than three times at sixteen.
double lamp_on_cell(const Room& room, const LightBasis& basis, const Lamp& lamp, const LampLight& light, int j, int k);
/// Cells beside cells across corners.
void make_neighbours(const Room& room, LightBasis& basis);
/// The exchange matrix.
void make_exchange(const Room& room, LightBasis& basis);
}  // namespace rakelight
