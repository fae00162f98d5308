// What changes slowly along a section, tabulated over places and slopes: all that smooth light adds besides the even part of
// the base, and the steady lamps with their answer to height. The room's share is worked out for all moments at once.
#pragma once
#include <algorithm>
#include <optional>

#include "look/scene_set.h"
#include "look/section_cells.h"

namespace rakelight {

/// What one eye's tables of one station have in common under one coat: the slopes and places that they are made of, and what
/// the room's faces send there at every moment of the set. Not to be shared by threads.
class SlowPlaces {
 public:
  using Slopes = Chebyshev<slope_room>::Values;
  /// One place: facets as they may be tilted, and the room's sheen on each, moment by moment.
  struct Row {
    kernel::SceneKernels::Place place;
    kernel::SceneKernels::FacetAxes even;
    std::vector<kernel::SceneKernels::FacetAxes> facet;  ///< slopes across; then less and more along, where there are any
    std::vector<double> room;                            ///< of each facet, moment by moment
  };
  SlowPlaces(kernel::SceneKernels& k, const SceneSet& set, const SectionCells& s, const kernel::SceneKernels::Place& middle, dvec3 eye);
  /// Place i of `count`, 2^n + 1 of them up to most_places.
  const Row& row(kernel::SceneKernels& k, std::size_t i, std::size_t count);
  const SceneSet& set() const { return set_; }
  const SectionCells& section() const { return section_; }
  const kernel::SceneKernels::Place& middle() const { return middle_; }
  /// Weights of `count` places, 2^n + 1, at a cell.
  const double* places_at(std::size_t cell, std::size_t count);
  /// Weights of the slopes for a cell's own slope across.
  const Slopes& slopes_at(std::size_t cell);

  double along = 0, sweep = 0;           ///< the largest slope along; how far the coat's mirror image moves, in its widths
  bool has_along = false, together = false;
  Chebyshev<slope_room> slope;
  Slopes flat_weight{};

 private:
  const SceneSet& set_;
  const SectionCells& section_;
  kernel::SceneKernels::Place middle_;
  dvec3 eye_;
  std::array<std::optional<Row>, most_places> rows_;
  std::vector<std::optional<Slopes>> cell_slopes_;
  std::array<const double*, place_counts> place_weight_{};  ///< the joint's, as they are asked for
};

/// The table of one moment.
class SlowTable {
 public:
  /// At first over three places only. `k`: that moment's scene, under the coat of `shared`.
  SlowTable(kernel::SceneKernels& k, SlowPlaces& shared, std::size_t moment);
  /// Adds places until what lies between them is known. `base`: luminance of the flat base at the middle, against which
  /// errors count.
  void complete(kernel::SceneKernels& k, double base);
  /// The flat face at a cell, and its facet with another slope across (`slopes`: that one's weights), lifted by h.
  double flat(std::size_t cell) const;
  double tilted(std::size_t cell, const SlowPlaces::Slopes& slopes, double h) const;
  bool holds(int lamp) const { return std::find(lamps_.begin(), lamps_.end(), lamp) != lamps_.end(); }

 private:
  using Slopes = SlowPlaces::Slopes;
  /// One place: luminance over slopes across, and with the slope along at either end of its reach (where they do not
  /// bend together, at no slope across alone).
  struct Row {
    Slopes across{}, less{}, more{};
    double rise = 0, flat = 0;
  };
  /// Shares of a row's three values along; of `none` what it has besides 1.
  struct Bend { double less = 0, more = 0, none = 0; };
  static double mix_rows(const Row* rows, std::size_t count, const double* at, const double* slopes, std::size_t fours, const Bend* bend);
  Row row_at(kernel::SceneKernels& k, std::size_t i, std::size_t count) const;
  bool known(const Row& row, double u, double base) const;

  SlowPlaces& shared_;
  std::size_t moment_;
  std::vector<int> lamps_;
  Chebyshev<most_places> place_;
  std::vector<Row> rows_;
};

}  // namespace rakelight
