#include "look/section_cells.h"

#include <algorithm>
#include <cmath>

namespace rakelight {
namespace {

constexpr double widest_step = 1e-3;  ///< m
constexpr double margin = 0.03;       ///< flat face shown beyond each end of the section, m

/// Inlined to the last kernel.
[[gnu::flatten]] kernel::SceneKernels::Facet relief_at(kernel::SceneKernels& k, int surface, dvec2 p, double step) { return k.scene_relief(surface, p, step); }

}  // namespace

kernel::Film film_end(const PlacedJoint& j, double s) {
  const FilmPlace film = film_along(j);
  if (film.round) {
    kernel::Film alone = kernel::no_film();
    alone.height = 1;
    return alone;
  }
  s += glm::dot(j.line.from - film.from, film.along);
  return kernel::joint_film({1, 0}, 0.5 * (j.section.left + j.section.right), s, j.section.left, j.section.right, film.length, j.section.cover,
                            j.line.across(), j.line.along());
}

JointCells::JointCells(const PlacedJoint& joint) {
  // at least four samples on a lap mark
  step = std::min(widest_step, joint.figures.lap_width > 0 ? joint.figures.lap_width / 4 : widest_step);
  // the margin stops at the next joint, opening or corner
  lo = -std::min(margin - joint.section.first, std::max(joint.line.room_left, -joint.section.first));
  hi = std::min(margin + joint.section.last(), std::max(joint.line.room_right, joint.section.last()));
  place = {lo, hi, light_places};
  cells.resize(static_cast<std::size_t>(std::max(1, static_cast<int>(std::ceil((hi - lo) / step)))));
  for (std::size_t i = 0; i < cells.size(); ++i) {
    Cell& c = cells[i];
    c.u = lo + (static_cast<double>(i) + 0.5) * step;
    c.light_weight = place.weights(c.u);
    for (std::size_t f = 0; f < all_figures.size(); ++f) {
      const Section& change = joint.change[f];
      if (change.height.empty()) continue;
      c.slope_change[f] = (change.height_at(c.u + 0.5 * step) - change.height_at(c.u - 0.5 * step)) / step;
      c.height_change[f] = change.height_at(c.u);
    }
  }
}

const double* JointCells::weights_of(std::size_t count) const {
  Weights& known = weights_[place_level(count)];
  std::call_once(known.made, [&] {
    const Chebyshev<most_places> places(lo, hi, count, Nodes::with_ends);
    known.weight.reserve(count * cells.size());
    for (const Cell& c : cells) {
      const auto w = places.weights(c.u);
      known.weight.insert(known.weight.end(), w.begin(), w.begin() + static_cast<std::ptrdiff_t>(count));
    }
  });
  return known.weight.data();
}

SectionCells make_section_cells(kernel::SceneKernels& k, int surface, const PlacedJoint& joint, const std::shared_ptr<const JointCells>& cells, double at) {
  SectionCells s;
  s.joint = cells;
  s.at = at;
  s.along = joint.line.along();
  s.across = joint.line.across();
  s.middle = joint.line.from + at * s.along;
  s.lo = cells->lo;
  s.hi = cells->hi;
  s.step = cells->step;
  s.share = film_end(joint, at).height;
  s.cells.resize(cells->cells.size());
  for (std::size_t i = 0; i < s.cells.size(); ++i) {
    Cell& c = s.cells[i];
    c.u = cells->cells[i].u;
    c.p = s.middle + c.u * s.across;
    c.facet = relief_at(k, surface, c.p, s.step);
    c.across = glm::dot(c.facet.slope, s.across);
    c.along = glm::dot(c.facet.slope, s.along);
    c.lift = k.lift_share(surface, c.p);
    s.least = std::min(s.least, c.across);
    s.most = std::max(s.most, c.across);
    s.along_most = std::max(s.along_most, std::abs(c.along));
  }
  return s;
}

}  // namespace rakelight
