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

SectionCells make_section_cells(kernel::SceneKernels& k, int surface, const PlacedJoint& joint, double at) {
  SectionCells s;
  s.at = at;
  s.along = joint.line.along();
  s.across = joint.line.across();
  s.middle = joint.line.from + at * s.along;
  // at least four samples on a lap mark
  s.step = std::min(widest_step, joint.figures.lap_width > 0 ? joint.figures.lap_width / 4 : widest_step);
  // the margin stops at the next joint, opening or corner
  const double lo = -std::min(margin - joint.section.first, std::max(joint.line.room_left, -joint.section.first));
  const double hi = std::min(margin + joint.section.last(), std::max(joint.line.room_right, joint.section.last()));
  const int count = std::max(1, static_cast<int>(std::ceil((hi - lo) / s.step)));
  s.lo = lo;
  s.hi = hi;
  s.place = {lo, hi, light_places};
  const double share = film_end(joint, at).height;
  s.cells.resize(static_cast<std::size_t>(count));
  for (int i = 0; i < count; ++i) {
    Cell& c = s.cells[static_cast<std::size_t>(i)];
    c.u = lo + (i + 0.5) * s.step;
    c.p = s.middle + c.u * s.across;
    c.facet = relief_at(k, surface, c.p, s.step);
    c.across = glm::dot(c.facet.slope, s.across);
    c.along = glm::dot(c.facet.slope, s.along);
    c.light_weight = s.place.weights(c.u);
    c.lift = k.lift_share(surface, c.p);
    s.least = std::min(s.least, c.across);
    s.most = std::max(s.most, c.across);
    s.along_most = std::max(s.along_most, std::abs(c.along));
    for (std::size_t f = 0; f < all_figures.size(); ++f) {
      const Section& change = joint.change[f];
      if (change.height.empty()) continue;
      c.slope_change[f] = share * (change.height_at(c.u + 0.5 * s.step) - change.height_at(c.u - 0.5 * s.step)) / s.step;
      c.height_change[f] = share * change.height_at(c.u);
    }
  }
  for (std::size_t level = 0, n = 3; level < s.place_weight.size(); ++level, n = 2 * n - 1) {
    const Chebyshev<most_places> places(lo, hi, n, Nodes::with_ends);
    for (const Cell& c : s.cells) {
      const auto w = places.weights(c.u);
      s.place_weight[level].insert(s.place_weight[level].end(), w.begin(), w.begin() + static_cast<std::ptrdiff_t>(n));
    }
  }
  return s;
}

}  // namespace rakelight
