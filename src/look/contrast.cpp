// Relief contrast along a line across a joint. What costs most is shared: the exact smooth light is worked out at three
// places of the section, what the coat sends back of it is tabulated over a few places and the slopes that occur, and
// both are interpolated. Heights, slopes, base, lamps and sun are exact in every cell.
#include <algorithm>
#include <array>
#include <cassert>
#include <cmath>
#include <optional>

#include "base/units.h"
#include "look/interpolate.h"
#include "look/look.h"
#include "look/table.h"

namespace rakelight {
namespace {

using kernel::SceneKernels;

constexpr double widest_step = 1e-3;   ///< m
constexpr double margin = 0.03;        ///< flat face shown beyond each end of the section, m
constexpr std::size_t light_places = 5; ///< over the section, where the smooth light is worked out
constexpr std::size_t most_places = 33, most_slopes = 13;  ///< of the table

/// A cell of the section: its place, its facet, and how the facet moves with each figure (per m).
struct Cell {
  double u = 0;
  dvec2 p{0};
  SceneKernels::Facet facet;
  double across = 0, along = 0;                ///< slope's parts across and along the joint
  double lift = 1;                             ///< share of its height that smooth light answers to
  std::array<double, 4> slope_change{}, height_change{};
  std::array<double, light_places> light_weight{};
};

/// One station, the same for every eye.
struct Station {
  double at = 0;
  dvec2 middle{0}, along{0}, across{0};
  double lo = 0, hi = 0, step = 0, least = 0, most = 0, along_most = 0;  ///< slopes that occur
  Chebyshev<light_places> place;
  std::array<LightSample, light_places> light;
  std::vector<Cell> cells;
};

/// How far a joint counts at a distance along it (its ends die out): the film of a section of height 1.
double end_share(const PlacedJoint& j, double s) {
  const FilmPlace film = film_along(j);
  if (film.round) return 1;
  s += glm::dot(j.line.from - film.from, film.along);
  const kernel::Film f = kernel::joint_film({1, 0}, 0.5 * (j.section.left + j.section.right), s, j.section.left, j.section.right,
                                            film.length, j.section.cover, j.line.across(), j.line.along());
  return f.height;
}

Station make_station(SceneKernels& k, const Lighting& lighting, int surface, const PlacedJoint& joint, double at) {
  Station s;
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
  for (std::size_t i = 0; i < light_places; ++i) s.light[i] = smooth_light(lighting, surface, s.middle + s.place.node(i) * s.across);
  const double share = end_share(joint, at);
  s.cells.resize(static_cast<std::size_t>(count));
  for (int i = 0; i < count; ++i) {
    Cell& c = s.cells[static_cast<std::size_t>(i)];
    c.u = lo + (i + 0.5) * s.step;
    c.p = s.middle + c.u * s.across;
    c.facet = k.scene_relief(surface, c.p, s.step);
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
  return s;
}

/// Lamps whose light changes so slowly along the section that a table holds it: none of the relief can stand in their
/// way, they are far against the section, and the coat is not so smooth that their image wanders across it.
std::vector<int> steady_lamps(SceneKernels& k, const Station& s, const SceneKernels::Place& middle, double sweep) {
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

/// What changes slowly along the section, tabulated over places and slopes: all that smooth light adds besides the even
/// part of the base, and the steady lamps with their answer to height.
class SlowTable {
 public:
  /// At first over three places only.
  SlowTable(SceneKernels& k, const Station& s, const SceneKernels::Place& middle, dvec3 eye)
      : along_(std::max(s.along_most, 1e-4)), has_along_(s.along_most > 1e-6) {
    const double reach = std::max({-s.least, s.most, 1e-4});
    const double lo = std::min(s.least, -0.1 * reach), hi = std::max(s.most, 0.1 * reach);
    const double alpha = middle.coat.alpha85;
    // the luminance turns over slopes of the order of the sharper lobe's roughness, and over the angles that make them
    const double turns = (hi - lo) / alpha;
    sweep_ = (s.hi - s.lo) / glm::length(eye - middle.world) / alpha;
    lamps_ = steady_lamps(k, s, middle, sweep_);
    slope_ = {lo, hi, turns < 0.15 ? 3u : turns < 0.6 ? 5u : turns < 1.5 ? 7u : most_slopes};
    flat_weight_ = slope_.weights(0);
    // both slopes bend the answer together only where it bends much
    together_ = turns >= 0.6;
    place_ = {s.lo, s.hi, 3, Nodes::with_ends};
    for (std::size_t i = 0; i < place_.count(); ++i) rows_.push_back(row_at(k, s, middle, eye, place_.node(i)));
  }
  /// Adds places until what lies between them is known. `base`: luminance of the flat base at the middle, against which
  /// errors count.
  void complete(SceneKernels& k, const Station& s, const SceneKernels::Place& middle, dvec3 eye, double base) {
    const std::size_t least = sweep_ > 2.5 ? 17 : !lamps_.empty() || sweep_ > 1.5 ? 9 : 5;
    // beside the next face its image in the sheen turns within centimetres
    const bool asks = sweep_ > 5 || k.lift_share(middle.surface, s.middle + s.lo * s.across) < 1 ||
                      k.lift_share(middle.surface, s.middle + s.hi * s.across) < 1;
    while (2 * place_.count() - 1 <= most_places) {
      if (place_.count() >= least && !asks) return;
      const Chebyshev<most_places> finer(s.lo, s.hi, 2 * place_.count() - 1, Nodes::with_ends);
      // asked next to both ends, where the answer turns fastest
      const std::size_t first = 1, last = finer.count() - 2;
      const Row near_first = row_at(k, s, middle, eye, finer.node(first)), near_last = row_at(k, s, middle, eye, finer.node(last));
      if (place_.count() >= least && known(near_first, finer.node(first), base) && known(near_last, finer.node(last), base)) return;
      std::vector<Row> rows;
      for (std::size_t i = 0; i < finer.count(); ++i)
        rows.push_back(i % 2 == 0 ? rows_[i / 2] : i == first ? near_first : i == last ? near_last : row_at(k, s, middle, eye, finer.node(i)));
      rows_ = std::move(rows);
      place_ = finer;
    }
  }
  /// Weights of the places at an offset, for the calls below.
  Chebyshev<most_places>::Values at(double u) const { return place_.weights(u); }
  double flat(const Chebyshev<most_places>::Values& at) const {
    double sum = 0;
    for (std::size_t i = 0; i < rows_.size(); ++i) sum += at[i] * slope_.mix(flat_weight_, rows_[i].across);
    return sum;
  }
  double tilted(const Chebyshev<most_places>::Values& at, double across, double along, double h) const {
    const auto w = slope_.weights(across);
    double sum = 0;
    for (std::size_t i = 0; i < rows_.size(); ++i) sum += at[i] * (value(rows_[i], w, along) + h * rows_[i].rise);
    return sum;
  }
  bool holds(int lamp) const { return std::find(lamps_.begin(), lamps_.end(), lamp) != lamps_.end(); }

 private:
  using Slopes = Chebyshev<most_slopes>::Values;
  /// One place: luminance over slopes across, and with the slope along at either end of its reach (where they do not
  /// bend together, at no slope across alone).
  struct Row {
    Slopes across{}, less{}, more{};
    double rise = 0;
  };

  Row row_at(SceneKernels& k, const Station& s, const SceneKernels::Place& middle, dvec3 eye, double u) const {
    SceneKernels::Place place = k.moved_to(middle, s.middle + u * s.across, eye);
    place.rise = 0;  // what the relief hides is added cell by cell
    const auto at = [&](double across, double along) {
      const auto axes = k.facet_axes(place, across * s.across + along * s.along);
      double sum = k.facet_sheen(place, axes, 0, false);
      for (const int lamp : lamps_) sum += k.source_luminance(place, axes, 0, lamp);
      return sum;
    };
    Row row;
    constexpr double lift = 1e-5;
    const auto even = k.facet_axes(place, dvec2(0));
    for (const int lamp : lamps_)
      row.rise += (k.source_luminance(place, even, lift, lamp) - k.source_luminance(place, even, 0, lamp)) / lift;
    for (std::size_t j = 0; j < slope_.count(); ++j) {
      row.across[j] = at(slope_.node(j), 0);
      if (!has_along_ || (!together_ && j > 0)) continue;
      row.less[j] = at(together_ ? slope_.node(j) : 0, -along_);
      row.more[j] = at(together_ ? slope_.node(j) : 0, along_);
    }
    return row;
  }

  double value(const Row& row, const Slopes& weights, double along) const {
    const double v = slope_.mix(weights, row.across);
    if (!has_along_) return v;
    const double t = along / along_;
    const double less = together_ ? slope_.mix(weights, row.less) : row.less[0], more = together_ ? slope_.mix(weights, row.more) : row.more[0];
    return v + 0.5 * t * (more - less) + 0.5 * t * t * (more + less - 2 * (together_ ? v : slope_.mix(flat_weight_, row.across)));
  }

  /// Whether the places so far give a row to a tenth of what a contrast may be off: 0.0005 + 0.01 of itself.
  bool known(const Row& row, double u, double base) const {
    const auto w = place_.weights(u);
    const double level = slope_.mix(flat_weight_, row.across), own = base + level, off = flat(w) - level;
    if (std::abs(off) > 0.003 * own) return false;
    for (std::size_t j = 0; j < slope_.count(); ++j) {
      double sum = 0;
      for (std::size_t i = 0; i < rows_.size(); ++i) sum += w[i] * rows_[i].across[j];
      if (std::abs(sum - row.across[j] - off) > 1e-4 * own + 0.002 * std::abs(row.across[j] - level)) return false;
    }
    return true;
  }

  double along_, sweep_ = 0;
  bool has_along_, together_ = false;
  std::vector<int> lamps_;
  Chebyshev<most_slopes> slope_;
  Chebyshev<most_places> place_;
  Slopes flat_weight_{};
  std::vector<Row> rows_;
};

dvec4 light_by(const Station& s, const Chebyshev<light_places>::Values& weights) {
  dvec4 sum(0);
  for (std::size_t i = 0; i < light_places; ++i)
    sum += weights[i] * dvec4(s.light[i].e.x, s.light[i].e.y, s.light[i].e.n, s.light[i].div_t);
  return sum;
}
dvec4 light_amid(const Station& s) { return light_by(s, s.place.weights(0)); }

/// Largest |slope| within `reach` cells of each cell.
std::vector<double> steepest_near(const Station& s, double reach) {
  const std::size_t n = s.cells.size(), span = static_cast<std::size_t>(std::ceil(reach / s.step));
  std::vector<double> own(n), out(n);
  for (std::size_t i = 0; i < n; ++i) own[i] = glm::length(s.cells[i].facet.slope);
  for (std::size_t i = 0; i < n; ++i) {
    const auto from = own.begin() + static_cast<std::ptrdiff_t>(i > span ? i - span : 0);
    const auto to = own.begin() + static_cast<std::ptrdiff_t>(std::min(n, i + span + 1));
    out[i] = *std::max_element(from, to);
  }
  return out;
}

/// How luminance, and over the flat face's contrast, answers to slope and height at one cell.
struct Sensitivity { std::size_t cell; double slope, height; };
constexpr std::size_t derivative_spacing = 8;

/// ∂contrast/∂figure in every cell from sensitivities at some, in order, the first and the last cell among them.
void add_changes(ContrastProfile& profile, const Station& s, const std::vector<Sensitivity>& at) {
  for (auto& list : profile.change) list.assign(s.cells.size(), 0.0);
  for (std::size_t i = 0, k = 0; i < s.cells.size(); ++i) {
    while (k + 2 < at.size() && at[k + 1].cell <= i) ++k;
    const Sensitivity& a = at[k];
    const Sensitivity& b = at[std::min(k + 1, at.size() - 1)];
    const double t = b.cell > a.cell ? double(i - a.cell) / double(b.cell - a.cell) : 0;
    const double slope = a.slope + t * (b.slope - a.slope), height = a.height + t * (b.height - a.height);
    for (std::size_t f = 0; f < all_figures.size(); ++f)
      profile.change[f][i] = slope * s.cells[i].slope_change[f] + height * s.cells[i].height_change[f];
  }
}

enum class Finish { rough, full };
constexpr std::size_t rough_stride = 4;  ///< cells
constexpr double promising = 0.7;        ///< of the best rough score

/// A station under one coat as one eye sees it.
struct Coated {
  SceneKernels::Place middle;
  SlowTable slow;
};
Coated make_coated(SceneKernels& k, const Station& s, int surface, dvec3 eye) {
  const SceneKernels::Place middle = k.place_of(surface, s.middle, eye);
  return {middle, SlowTable(k, s, middle, eye)};
}

/// A section's luminances under one coat, cd/m²: as if flat, with its relief, and how the latter answers, per m.
struct Shading {
  std::vector<double> flat, relief;
  std::vector<Sensitivity> answers;
};

/// Rough: every fourth cell, over the table as it stands, without answers.
Shading shade_section(SceneKernels& k, const Station& s, Coated& coated, dvec3 eye, Finish finish) {
  Shading out;
  const SceneKernels::Place& middle = coated.middle;
  SlowTable& slow = coated.slow;
  if (finish == Finish::full) slow.complete(k, s, middle, eye, k.smooth_base(k.facet_axes(middle, dvec2(0)), light_amid(s), 0, dvec2(0)));
  std::vector<int> sources;  // the sun and the lamps that the table does not hold
  if (k.scene_row(3).w > 0) sources.push_back(-1);
  for (int i = 0; i < k.lamp_count(); ++i)
    if (!slow.holds(i)) sources.push_back(i);
  const double lowest = k.lowest_window(middle);
  // where no slope within a shadow's reach stands as steep as the lowest window, the relief hides none of it
  const std::vector<double> steep =
      lowest < middle.steepest ? steepest_near(s, middle.rise / std::max(lowest, 0.01)) : std::vector<double>(s.cells.size(), 0.0);
  constexpr double tilt = 1e-5, lift = 1e-5;
  const std::size_t stride = finish == Finish::full ? 1 : rough_stride;
  for (std::size_t i = 0; i < s.cells.size(); i += stride) {
    const Cell& c = s.cells[i];
    const SceneKernels::Place place = k.moved_to(middle, c.p, eye);
    SceneKernels::Place unhindered = place;
    unhindered.rise = 0;
    unhindered.steepest = 0;
    const auto even = k.facet_axes(place, dvec2(0));
    const auto at = slow.at(c.u);
    const dvec4 smooth = light_by(s, c.light_weight);
    double flat = k.smooth_base(even, smooth, 0, dvec2(0)) + slow.flat(at);
    for (const int source : sources) flat += k.source_luminance(unhindered, even, 0, source);
    const bool hidden = steep[i] > 0.9 * lowest;
    const auto luminance = [&](double across, double h) {
      const dvec2 slope = c.facet.slope + (across - c.across) * s.across;
      const auto tilted = k.facet_axes(place, slope);
      double l = k.smooth_base(tilted, smooth, c.lift * h, slope) + slow.tilted(at, across, c.along, h);
      for (const int source : sources) l += k.source_luminance(place, tilted, h, source);
      if (hidden) l += k.facet_sheen(place, tilted, h, true) - k.facet_sheen(unhindered, tilted, h, false);
      return l;
    };
    const double relief = c.facet.near ? luminance(c.across, c.facet.h) : flat;
    out.flat.push_back(flat);
    out.relief.push_back(relief);
    // luminance is all but linear in the figures, with factors that vary slowly along the section
    if (finish == Finish::rough || (i % derivative_spacing != 0 && i + 1 != s.cells.size())) continue;
    Sensitivity next{i, 0, 0};
    if (c.facet.near) {
      next.slope = (luminance(c.across + tilt, c.facet.h) - relief) / tilt;
      next.height = (luminance(c.across, c.facet.h + lift) - relief) / lift;
    }
    out.answers.push_back(next);
  }
  return out;
}

/// The coats of a station as one eye sees it; `compound` where that is not as on paper.
struct Look {
  Coated paper;
  std::optional<Coated> compound;
};

/// `compound`: the scene where every face is as over compound; null where that is as on paper. Rough: without
/// derivatives and raking.
ContrastProfile profile_of(SceneKernels& k, SceneKernels* compound, const Station& s, Look& look, dvec3 eye, Finish finish) {
  ContrastProfile profile;
  profile.station = s.at;
  profile.at = look.paper.middle.world;
  const Shading paper = shade_section(k, s, look.paper, eye, finish);
  std::optional<Shading> over;
  if (compound) over = shade_section(*compound, s, *look.compound, eye, finish);
  const auto mean = [&](const Cell& c, double on_paper, double on_compound) {
    return (1 - c.facet.cover) * on_paper + c.facet.cover * on_compound;
  };
  const std::size_t stride = finish == Finish::full ? 1 : rough_stride;
  for (std::size_t i = 0; i < paper.flat.size(); ++i) {
    const Cell& c = s.cells[i * stride];
    const double flat = paper.flat[i];
    const bool dark = flat <= 1e-9;
    profile.offset.push_back(c.u);
    profile.contrast.push_back(dark ? 0 : (over ? mean(c, paper.relief[i], over->relief[i]) : paper.relief[i]) / flat - 1);
    if (over) profile.band.push_back(dark ? 0 : mean(c, flat, over->flat[i]) / flat - 1);
    profile.flat_luminance += flat;
    if (std::abs(profile.contrast.back()) > std::abs(profile.peak)) {
      profile.peak = profile.contrast.back();
      profile.peak_offset = c.u;
    }
  }
  profile.flat_luminance /= static_cast<double>(paper.flat.size());
  if (finish == Finish::rough) return profile;
  std::vector<Sensitivity> answers = paper.answers;
  for (std::size_t n = 0; n < answers.size(); ++n) {
    Sensitivity& a = answers[n];
    const double flat = paper.flat[a.cell];
    if (over) {
      a.slope = mean(s.cells[a.cell], a.slope, over->answers[n].slope);
      a.height = mean(s.cells[a.cell], a.height, over->answers[n].height);
    }
    a.slope = flat <= 1e-9 ? 0 : a.slope / flat;
    a.height = flat <= 1e-9 ? 0 : a.height / flat;
  }
  add_changes(profile, s, answers);
  const dvec3 e = k.direct_light(look.paper.middle) + dvec3(light_amid(s));
  if (e.z > 0) {
    profile.raking_ratio = glm::length(dvec2(e)) / e.z;
    profile.across_ratio = std::abs(glm::dot(dvec2(e), s.across)) / e.z;
  }
  return profile;
}

}  // namespace

std::vector<std::vector<ContrastProfile>> contrast_across(const Scene& scene, const Lighting& lighting, const Room& room,
                                                          int surface, const Relief& relief, int joint,
                                                          const std::vector<double>& stations,
                                                          const std::vector<dvec3>& eyes, const Score& score) {
  assert(joint >= 0 && static_cast<std::size_t>(joint) < relief.joints.size());
  SceneKernels k = kernels_of(scene);
  std::optional<SceneKernels> compound;
  if (!scene.over_compound.empty()) compound.emplace(kernels_over_compound(scene));
  // faces without a band need no second look
  if (compound && k.surface_at(surface, 5) == compound->surface_at(surface, 5)) compound.reset();
  const PlacedJoint& placed = relief.joints[static_cast<std::size_t>(joint)];
  const Frame& frame = room.surfaces[static_cast<std::size_t>(surface)].frame;
  std::vector<std::optional<Station>> made(stations.size());
  const auto profile = [&](std::size_t i, Look& look, dvec3 eye, Finish finish) {
    return profile_of(k, compound ? &*compound : nullptr, *made[i], look, eye, finish);
  };
  std::vector<std::vector<ContrastProfile>> profiles(eyes.size());
  for (std::size_t e = 0; e < eyes.size(); ++e) {
    if (frame.height_of(eyes[e]) <= 1e-6) continue;
    std::vector<std::size_t> seen;
    for (std::size_t i = 0; i < stations.size(); ++i)
      if (room.sees(eyes[e], frame.world_from_surface(placed.line.from + stations[i] * placed.line.along()))) seen.push_back(i);
    std::vector<Look> looks;
    std::vector<double> scores;
    for (const std::size_t i : seen) {
      if (!made[i]) made[i] = make_station(k, lighting, surface, placed, stations[i]);
      looks.push_back({make_coated(k, *made[i], surface, eyes[e]), std::nullopt});
      if (compound) looks.back().compound = make_coated(*compound, *made[i], surface, eyes[e]);
      scores.push_back(score && seen.size() > 1 ? score(profile(i, looks.back(), eyes[e], Finish::rough), e) : 0);
    }
    for (std::size_t i = 0; i < seen.size(); ++i)
      if (scores[i] >= promising * *std::max_element(scores.begin(), scores.end()))
        profiles[e].push_back(profile(seen[i], looks[i], eyes[e], Finish::full));
  }
  return profiles;
}

std::vector<ContrastProfile> contrast_across(const Scene& scene, const Lighting& lighting, const Room& room, int surface,
                                             const Relief& relief, int joint, const std::vector<double>& stations, dvec3 eye) {
  return contrast_across(scene, lighting, room, surface, relief, joint, stations, std::vector<dvec3>{eye})[0];
}

}  // namespace rakelight
