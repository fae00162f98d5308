// The cells of a joint's section at one station: what every eye and every moment has in common.
#pragma once
#include <array>
#include <bit>
#include <memory>
#include <mutex>
#include <vector>

#include "joint/joint.h"
#include "light/light.h"
#include "look/interpolate.h"
#include "look/table.h"

namespace rakelight {

inline constexpr std::size_t light_places = 5;  ///< over the section, where the smooth light is worked out
inline constexpr std::size_t most_places = 33, most_slopes = 13;  ///< of the table of what changes slowly
inline constexpr std::size_t place_counts = 5;  ///< 3, 5, 9, 17 or 33 places
inline constexpr std::size_t slope_room = 16;   ///< for slopes, four at a time; what is too many is 0

/// What a joint's cells have in common at every station.
class JointCells {
 public:
  explicit JointCells(const PlacedJoint& joint);
  struct Cell {
    double u = 0;                                ///< across the joint, m
    std::array<double, 4> slope_change{}, height_change{};  ///< with each figure, per m, where the joint does not die
    std::array<double, light_places> light_weight{};
  };
  double lo = 0, hi = 0, step = 0;
  Chebyshev<light_places> place;
  std::vector<Cell> cells;
  /// Weights of `count` places with ends, 2^n + 1 of them from 3 to most_places, for every cell in order. Made for the first who
  /// asks; by any number of threads.
  const double* weights_of(std::size_t count) const;

 private:
  struct Weights {
    std::once_flag made;
    std::vector<double> weight;
  };
  mutable std::array<Weights, place_counts> weights_;
};

/// Which of those `count` is.
inline std::size_t place_level(std::size_t count) { return static_cast<std::size_t>(std::countr_zero(count - 1)) - 1; }

/// A cell of the section: its place, its facet, and how the facet moves with each figure (per m).
struct Cell {
  double u = 0;
  dvec2 p{0};
  kernel::SceneKernels::Facet facet;
  double across = 0, along = 0;                ///< slope's parts across and along the joint
  double lift = 1;                             ///< share of its height that smooth light answers to
};

/// One station, the same for every eye and moment.
struct SectionCells {
  std::shared_ptr<const JointCells> joint;
  double at = 0;
  dvec2 middle{0}, along{0}, across{0};
  double lo = 0, hi = 0, step = 0;
  double share = 1;                            ///< of the section's height that is left where the joint dies
  double least = 0, most = 0, along_most = 0;  ///< slopes that occur
  std::vector<Cell> cells;
};

/// How a joint dies at its ends: the film of a section of height 1, level across, at a distance along the joint, m.
kernel::Film film_end(const PlacedJoint& joint, double at);

SectionCells make_section_cells(kernel::SceneKernels& k, int surface, const PlacedJoint& joint, const std::shared_ptr<const JointCells>& cells, double at);

}  // namespace rakelight
