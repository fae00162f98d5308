#include "look/slow_table.h"

#include <algorithm>
#include <cmath>

#include "base/wide.h"

namespace rakelight {

using kernel::SceneKernels;

namespace {

/// Lamps whose light changes so slowly along the section that a table holds it: none of the relief can stand in their
/// way, they are far against the section, and the coat is not so smooth that their image wanders across it.
std::vector<int> steady_lamps(SceneKernels& k, const SectionCells& s, const SceneKernels::Place& middle, double sweep) {
  std::vector<int> steady;
  if (sweep > 2.5) return steady;
  for (int i = 0; i < k.lamp_count(); ++i) {
    const dvec4 about = k.lamp_at(i, 0);
    bool fits = true;
    for (const double u : {s.lo, 0.5 * (s.lo + s.hi), s.hi}) {
      const dvec2 p = s.middle + u * s.across;
      const dvec3 d = k.face_from_world(middle.frame, dvec3(about)) - dvec3(p, 0);
      const double size = about.w, distance = glm::length(d);
      fits = fits && distance > 10.5 * size && distance > 0.8 * (s.hi - s.lo) &&
             d.z - size > 1.1 * middle.steepest * glm::length(dvec2(d)) && d.z > 0.05;
    }
    if (fits) steady.push_back(i);
  }
  return steady;
}

/// Inlined to the last kernel.
[[gnu::flatten]] double glass_luminance(SceneKernels& k, const SceneKernels::Place& place, const SceneKernels::FacetAxes& facet, const std::vector<SceneKernels::GlassPart>& parts) {
  double sum = 0;
  for (const auto& part : parts) sum += k.part_luminance(place, facet, 0, false, part);
  return sum;
}

}  // namespace

SlowPlaces::SlowPlaces(SceneKernels& k, const SceneSet& set, const SectionCells& s, const SceneKernels::Place& middle, dvec3 eye)
    : along(std::max(s.along_most, 1e-4)), has_along(s.along_most > 1e-6), set_(set), section_(s), middle_(middle), eye_(eye), cell_slopes_(s.cells.size()) {
  const double reach = std::max({-s.least, s.most, 1e-4});
  const double lo = std::min(s.least, -0.1 * reach), hi = std::max(s.most, 0.1 * reach);
  const double alpha = middle.coat.alpha85;
  // the luminance turns over slopes of the order of the sharper lobe's roughness, and over the angles that make them
  const double turns = (hi - lo) / alpha;
  sweep = (s.hi - s.lo) / glm::length(eye - middle.world) / alpha;
  slope = {lo, hi, turns < 0.15 ? 3u : turns < 0.6 ? 5u : turns < 1.5 ? 7u : most_slopes};
  flat_weight = slope.weights(0);
  // both slopes bend the answer together only where it bends much
  together = turns >= 0.6;
  static_cast<void>(k);
}

const double* SlowPlaces::places_at(std::size_t cell, std::size_t count) {
  const double*& known = place_weight_[place_level(count)];
  if (!known) known = section_.joint->weights_of(count);
  return known + count * cell;
}

const SlowPlaces::Slopes& SlowPlaces::slopes_at(std::size_t cell) {
  auto& known = cell_slopes_[cell];
  if (!known) known = slope.weights(section_.cells[cell].across);
  return *known;
}

const SlowPlaces::Row& SlowPlaces::row(SceneKernels& k, std::size_t i, std::size_t count) {
  auto& known = rows_[i * (most_places - 1) / (count - 1)];
  if (known) return *known;
  Row& row = known.emplace();
  const Chebyshev<most_places> places(section_.lo, section_.hi, count, Nodes::with_ends);
  row.place = k.moved_to(middle_, section_.middle + places.node(i) * section_.across, eye_);
  row.place.rise = 0;  // what the relief hides is added cell by cell
  row.even = k.facet_axes(row.place, dvec2(0));
  const auto add = [&](double across, double aside) { row.facet.push_back(k.facet_axes(row.place, across * section_.across + aside * section_.along)); };
  for (std::size_t j = 0; j < slope.count(); ++j) add(slope.node(j), 0);
  if (has_along)
    for (const double aside : {-along, along})
      for (std::size_t j = 0; j < (together ? slope.count() : 1); ++j) add(together ? slope.node(j) : 0, aside);
  row.room.resize(row.facet.size() * set_.scenes.size());
  for (std::size_t f = 0; f < row.facet.size(); ++f) room_sheens(k, set_, row.place, row.facet[f], row.room.data() + f * set_.scenes.size());
  return row;
}

SlowTable::SlowTable(SceneKernels& k, SlowPlaces& shared, std::size_t moment)
    : shared_(shared), moment_(moment), lamps_(steady_lamps(k, shared.section(), shared.middle(), shared.sweep)),
      place_(shared.section().lo, shared.section().hi, 3, Nodes::with_ends) {
  for (std::size_t i = 0; i < place_.count(); ++i) rows_.push_back(row_at(k, i, place_.count()));
}

void SlowTable::complete(SceneKernels& k, double base) {
  const SectionCells& s = shared_.section();
  const double sweep = shared_.sweep;
  const std::size_t least = sweep > 2.5 ? 17 : !lamps_.empty() || sweep > 1.5 ? 9 : 5;
  // beside the next face its image in the sheen turns within centimetres
  const int surface = shared_.middle().surface;
  const bool asks = sweep > 5 || k.lift_share(surface, s.middle + s.lo * s.across) < 1 || k.lift_share(surface, s.middle + s.hi * s.across) < 1;
  while (2 * place_.count() - 1 <= most_places) {
    if (place_.count() >= least && !asks) return;
    const Chebyshev<most_places> finer(s.lo, s.hi, 2 * place_.count() - 1, Nodes::with_ends);
    // asked next to both ends, where the answer turns fastest
    const std::size_t first = 1, last = finer.count() - 2;
    const Row near_first = row_at(k, first, finer.count()), near_last = row_at(k, last, finer.count());
    if (place_.count() >= least && known(near_first, finer.node(first), base) && known(near_last, finer.node(last), base)) return;
    std::vector<Row> rows;
    for (std::size_t i = 0; i < finer.count(); ++i)
      rows.push_back(i % 2 == 0 ? rows_[i / 2] : i == first ? near_first : i == last ? near_last : row_at(k, i, finer.count()));
    rows_ = std::move(rows);
    place_ = finer;
  }
}

double SlowTable::flat(std::size_t cell) const {
  const double* at = shared_.places_at(cell, place_.count());
  double sum = 0;
  for (std::size_t i = 0; i < rows_.size(); ++i) sum += at[i] * rows_[i].flat;
  return sum;
}

double SlowTable::tilted(std::size_t cell, const Slopes& slopes, double h) const {
  const double* at = shared_.places_at(cell, place_.count());
  double rise = 0, aside = 0;
  Bend bend;
  if (shared_.has_along) {
    // the slope along by a parabola through none, less and more
    const double t = shared_.section().cells[cell].along / shared_.along;
    bend = {0.5 * t * (t - 1), 0.5 * t * (t + 1), -t * t};
  }
  for (std::size_t i = 0; i < rows_.size(); ++i) {
    rise += at[i] * rows_[i].rise;
    if (shared_.has_along && !shared_.together) aside += at[i] * (bend.less * rows_[i].less[0] + bend.more * rows_[i].more[0] + bend.none * rows_[i].flat);
  }
  const std::size_t fours = (shared_.slope.count() + four - 1) / four;
  const bool bends = shared_.has_along && shared_.together;
  return mix_rows(rows_.data(), rows_.size(), at, slopes.data(), fours, bends ? &bend : nullptr) + aside + h * rise;
}

SlowTable::Row SlowTable::row_at(SceneKernels& k, std::size_t i, std::size_t count) const {
  const SlowPlaces::Row& shared = shared_.row(k, i, count);
  const std::size_t moments = shared_.set().scenes.size(), slopes = shared_.slope.count();
  thread_local std::vector<SceneKernels::GlassPart> parts;
  parts.clear();
  for_each_glass_part(k, shared.place.world, [&](const SceneKernels::GlassPart& part) { parts.push_back(part); });
  const auto at = [&](std::size_t f) {
    double sum = shared.room[f * moments + moment_] + glass_luminance(k, shared.place, shared.facet[f], parts);
    for (const int lamp : lamps_) sum += k.source_luminance(shared.place, shared.facet[f], 0, lamp);
    return sum;
  };
  Row row;
  constexpr double lift = 1e-5;
  for (const int lamp : lamps_)
    row.rise += (k.source_luminance(shared.place, shared.even, lift, lamp) - k.source_luminance(shared.place, shared.even, 0, lamp)) / lift;
  for (std::size_t j = 0; j < slopes; ++j) row.across[j] = at(j);
  if (shared_.has_along) {
    const std::size_t aside = shared_.together ? slopes : 1;
    for (std::size_t j = 0; j < aside; ++j) {
      row.less[j] = at(slopes + j);
      row.more[j] = at(slopes + aside + j);
    }
  }
  row.flat = shared_.slope.mix(shared_.flat_weight, row.across);
  return row;
}

/// The rows' values at the slopes with those weights, in proportion `at`; with a bend along, if there is one.
RAKELIGHT_WIDE double SlowTable::mix_rows(const Row* rows, std::size_t count, const double* at, const double* slopes, std::size_t fours, const Bend* bend) {
  Four sum{}, weight, value, mixed;
  for (std::size_t q = 0; q < fours; ++q) {
    mixed = Four{};
    for (std::size_t i = 0; i < count; ++i) {
      load(value, rows[i].across.data() + four * q);
      if (!bend) {
        mixed += at[i] * value;
        continue;
      }
      Four less, more;
      load(less, rows[i].less.data() + four * q);
      load(more, rows[i].more.data() + four * q);
      mixed += at[i] * ((1 + bend->none) * value + bend->less * less + bend->more * more);
    }
    load(weight, slopes + four * q);
    sum += weight * mixed;
  }
  return (sum[0] + sum[1]) + (sum[2] + sum[3]);
}

/// Whether the places so far give a row to a tenth of what a contrast may be off: 0.0005 + 0.01 of itself.
bool SlowTable::known(const Row& row, double u, double base) const {
  const auto w = place_.weights(u);
  double level = 0;
  for (std::size_t i = 0; i < rows_.size(); ++i) level += w[i] * rows_[i].flat;
  const double own = base + row.flat, off = level - row.flat;
  if (std::abs(off) > 0.003 * own) return false;
  for (std::size_t j = 0; j < shared_.slope.count(); ++j) {
    double sum = 0;
    for (std::size_t i = 0; i < rows_.size(); ++i) sum += w[i] * rows_[i].across[j];
    if (std::abs(sum - row.across[j] - off) > 1e-4 * own + 0.002 * std::abs(row.across[j] - row.flat)) return false;
  }
  return true;
}

}  // namespace rakelight
