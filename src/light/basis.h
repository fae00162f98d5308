// What LightBasis holds; only src/light looks inside.
#pragma once
#include <array>
#include <cstdint>
#include <memory>
#include <vector>

#include "light/light.h"
#include "light/receiver.h"
#include "light/sky_mesh.h"

namespace rakelight {

/// Points over a patch at which direct light is averaged: 4 × 4 cell centres, those in openings or outside left out.
struct PatchPoints { std::array<dvec3, 16> at; int count = 0; };

/// What a patch looks like from afar: its middle, its front, and its share of pi × area that is really there.
struct FarPatch { dvec3 centre, n; double area_over_pi, size2; };

/// A sparse row over the outside nodes: entries [begin, end) of its table.
struct Run { std::uint32_t begin = 0, end = 0; };
struct UnitIlluminance { std::uint16_t node; float e; };
struct UnitVector { std::uint16_t node; float x, y, n; };

/// Unit light on the field grid of one surface, and the gathering of bounced light on its coarser bounce nodes.
struct UnitField {
  int nx = 0, ny = 0;
  dvec2 origin{0}, step{1};
  std::vector<Run> run;                 ///< per node
  std::vector<UnitVector> entry;
  std::vector<double> bounce_x, bounce_y;  ///< ascending node coordinates
  std::vector<float> bounce;            ///< [bounce node][patch][3]: light vector per unit exitance
};

class LightBasis {
 public:
  LightDetail detail;
  std::vector<Patch> patch;
  std::vector<double> coverage;         ///< area / |u × v|: below 1 where an opening or the outline cuts a corner off
  std::vector<PatchGrid> grid;          ///< per surface
  std::vector<WindowParts> parts;       ///< per window
  std::vector<PatchPoints> points;      ///< per patch
  std::vector<FarPatch> far;            ///< per patch
  std::vector<float> exchange;          ///< n × n, symmetric: A_i F_ij, rows summing to A_i
  std::vector<Run> run;                 ///< per patch
  std::vector<UnitIlluminance> entry;
  std::vector<std::vector<float>> lamp; ///< per lamp of the job, per patch: lx at full output
  std::vector<UnitField> field;         ///< per surface; nx = 0 where none was asked for

  int count() const { return static_cast<int>(patch.size()); }
};

/// Patches, grids, parts, points and coverage of a room.
void make_patches(const Room& room, LightBasis& basis);
/// Sum of row[j] x[j], in four interleaved sums of fixed order.
double row_times(const float* row, const std::vector<double>& x);
/// The exchange matrix.
void make_exchange(const Room& room, LightBasis& basis);
}  // namespace rakelight
