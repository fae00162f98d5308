// Builds a joint's section coat by coat (physics 1.1).
//
// Faces that differ at a butt: everything is built between the true faces, half the step below and above zero, and
// is then measured from the line that leads evenly (smoothstep) from one face to the other between the feathers. So
// heights are 0 at both feathers and outside, where the sheet's own face is the reference; what is left out is that
// even ramp, 1.5 step / width at most (0.8 mrad for 0.25 mm over 500 mm), and how the offset dies along the sheet.
//
// The figures lap_ridge and tape_edge are as left after sanding: they are added to the sanded surface, and stand
// higher on coats that are not sanded yet. Levels 0 to 2 are not worked to a crown: they end where the bare joint,
// the bed with its tape, or the coat wiped tight over it leave them.
#include <algorithm>
#include <cmath>

#include "joint/film.h"
#include "joint/joint.h"
#include "joint/pulls.h"
#include "joint/make_up.h"
#include "kernel/relief.h"

namespace rakelight {
namespace {

constexpr double cell_spacing = 0.0005;
constexpr double solved = 1e-11;           ///< m: how near the crown is brought to the figure
constexpr double bare_butt_half = 0.100;   ///< how far a bare butt's step is shown to either side
constexpr double least_half = 0.005;       ///< a joint keeps at least this much room
constexpr double tape_edge_run = 0.002;    ///< compound wiped against the tape's own edge
constexpr double wiped_film = 0.0001;      ///< a coat wiped tight: what stays over the tape (0–0.1 scraped, 0.1–0.3 drawn)
constexpr double scuff_edge = 0.005;       ///< over which scuffed paper rises

double on_grid(double x) { return std::max(std::floor(x / cell_spacing + 1e-6), 1.0) * cell_spacing; }

/// Half-widths of one coat.
struct Reach { double left = 0, right = 0; };

struct Plan {
  Recipe recipe;
  SectionFigures figures;
  std::vector<Reach> coats;  ///< first coat first
  Reach bare;                ///< how far the bare shape reaches
  Reach whole;               ///< feathers
};

bool has_bed(JointKind kind) { return joins_sheets(kind) || kind == JointKind::internal_corner || kind == JointKind::square_set; }

/// Finished widths after each coat on a side of a joint between sheets; legs, flanges and spots have their own.
std::vector<double> widths_of(const Recipe& recipe, const EdgeShape& edge) {
  if (joins_sheets(recipe.kind)) return edge.depth > 0 ? recipe.level.recessed_widths : recipe.level.butt_widths;
  const MakeUp& m = make_up();
  std::vector<double> widths = recipe.kind == JointKind::fixings ? m.fixing_widths : has_bead(recipe.kind) ? m.bead_widths : m.corner_widths;
  const auto count = static_cast<std::size_t>(coats_on(recipe.level, recipe.kind));
  while (widths.size() < count) widths.push_back(widths.back());
  widths.resize(count);
  // legs and flanges are measured from the line to one side
  if (is_one_sided(recipe.kind))
    for (double& w : widths) w *= 2;
  return widths;
}

Plan plan_of(const Recipe& recipe, const SectionFigures& figures) {
  const MakeUp& m = make_up();
  Plan p{recipe, figures, {}, {}, {}};
  const double least_left = is_one_sided(recipe.kind) ? 0 : least_half;
  auto fit = [&](double left, double right) {
    return Reach{least_left == 0 ? 0 : on_grid(std::clamp(left, least_half, std::max(recipe.room_left, least_half))),
                 on_grid(std::clamp(right, least_half, std::max(recipe.room_right, least_half)))};
  };
  const EdgeShape edges[] = {edge_shape(recipe, true), edge_shape(recipe, false)};
  double shown[2], finished[2];
  std::vector<double> widths[2];
  for (int side : {0, 1}) {
    const EdgeShape& e = edges[side];
    shown[side] = std::max({e.depth > 0 ? e.width + e.shoulder : 0, e.groove_width, least_half});
    if (recipe.kind == JointKind::fixings) shown[side] = m.dimple_radius + cell_spacing;
    if (has_bead(recipe.kind)) shown[side] = m.bead_flange_width + 2 * cell_spacing;
    if (has_step(recipe.kind) && !recipe.level.tape) shown[side] = std::max(shown[side], bare_butt_half);
    widths[side] = widths_of(recipe, e);
    const double usual = widths[side].empty() ? 0 : widths[side].back();
    // the fill must span a sprung end's whole depression
    finished[side] = recipe.kind == JointKind::backed_butt ? std::max(usual, 2 * shown[side]) : usual;
    if (recipe.width) finished[side] = *recipe.width * (is_one_sided(recipe.kind) ? 2 : 1);
  }
  p.bare = p.whole = fit(shown[0], shown[1]);
  for (std::size_t k = 0; k < widths[0].size(); ++k) {
    double half[2];
    for (int side : {0, 1}) {
      const double first = std::min(widths[side][0], finished[side]), scale = finished[side] / widths[side].back();
      // the first coat keeps the width of the blade that lays it
      half[side] = (k == 0 ? first : std::max(widths[side][k] * scale, first)) / 2;
    }
    p.coats.push_back(fit(half[0], half[1]));
    p.whole.left = std::max(p.whole.left, p.coats.back().left);
    p.whole.right = std::max(p.whole.right, p.coats.back().right);
  }
  return p;
}

/// Highest point, or lowest where that is further from zero.
double crown_of(const std::vector<double>& height) {
  auto [lo, hi] = std::minmax_element(height.begin(), height.end());
  return *hi >= -*lo ? *hi : *lo;
}

class Builder {
 public:
  explicit Builder(Plan plan)
      : plan_(std::move(plan)), level_(plan_.recipe.level), kind_(plan_.recipe.kind), tape_(make_up().tape(plan_.recipe.tape)),
        one_sided_(is_one_sided(kind_)) {
    const MakeUp& m = make_up();
    const SandingSpec sanding = plan_.recipe.sanding;
    sanding_ = sanding == SandingSpec::none ? 0 : sanding == SandingSpec::over ? m.over_sanding_fraction : m.sanding_fraction;
    scuffed_ = sanding == SandingSpec::over && level_.coats > 0;
    double margin = 4 * cell_spacing + (level_.skim > 0 ? level_.film_reach : 0) + (scuffed_ ? m.scuff_width : 0);
    bare_ = HeightCurve(one_sided_ ? 0 : -plan_.whole.left - on_grid(margin), plan_.whole.right + on_grid(margin), cell_spacing);
    if (kind_ == JointKind::fixings) add_dimple(bare_);
    else if (has_bead(kind_)) add_bead(bare_, plan_.figures.crown);
    else if (!one_sided_) add_bare_joint(bare_, plan_.recipe, plan_.figures.step, plan_.bare.left, plan_.bare.right);
    bed_ = bare_;
    sinks_ = HeightCurve(bare_.first, bare_.offset(bare_.size() - 1), cell_spacing);
    lap_unsanded_ = plan_.figures.lap_ridge / (1 - m.sanding_fraction);
    if (kind_ == JointKind::backed_butt && !plan_.coats.empty()) {
      const Reach& last = plan_.coats.back();
      const HeightCurve faces = over_faces(bare_);
      rest_left_ = faces.height_at(-last.left);
      rest_right_ = faces.height_at(last.right);
    }
  }

  Section section() {
    Section s;
    s.first = bare_.first;
    s.step = bare_.step;
    s.left = -plan_.whole.left;
    s.right = plan_.whole.right;
    s.cover = plan_.coats.empty() ? 0 : 1;
    HeightCurve finished = bare_;
    if (!plan_.coats.empty()) {
      if (has_bed(kind_)) {
        bed_ = bed_and_tape(&s);
        finished = bed_;
      }
      const bool more = plan_.coats.size() > (has_bed(kind_) ? 1u : 0u);
      if (level_.wiped_coat && has_bed(kind_)) {
        finished = wiped(&s);
      } else if (more) {
        Worked work = coated(solved_top(), &s);
        finished = work.height;
        sinks_ = work.sinks;
        if (sands()) keep(s, scuffed_ ? "over-sanded" : "sanded", finished, {});
      }
      if (level_.skim > 0) {
        finished = skimmed(finished);
        keep(s, "skim", finished, {});
      }
      if (sinks_.steepest() > 0) {
        add(finished, sinks_, -1);
        keep(s, "sunk after sanding", finished, {});
      }
    }
    HeightCurve h = over_faces(finished);
    s.height = std::move(h.height);
    s.slope = std::move(h.slope);
    s.bare = over_faces(bare_).height;
    s.crown = crown_of(s.height);
    return s;
  }

 private:
  struct Worked {
    HeightCurve height, sinks;  ///< as sanded; what goes down later
  };

  void keep(Section& s, const std::string& name, const HeightCurve& h, const std::vector<Pull>& pulls) const {
    s.coat_names.push_back(name);
    s.coats.push_back(over_faces(h).height);
    std::vector<BladeEnds>& ends = s.blades.emplace_back();
    for (const Pull& p : pulls) ends.push_back({p.from, p.to});
  }

  bool sands() const { return level_.coats > 0 && plan_.recipe.sanding != SandingSpec::none; }

  /// Heights over the even ramp from face to face.
  HeightCurve over_faces(HeightCurve h) const {
    double step = has_step(kind_) ? plan_.figures.step : 0;
    if (step == 0) return h;
    for (int i = 0; i < h.size(); ++i) {
      kernel::HeightSlope ramp = kernel::ease(h.offset(i) + plan_.whole.left, plan_.whole.left + plan_.whole.right);
      h.height[i] -= step * (ramp.height - 0.5);
      h.slope[i] -= step * ramp.slope;
    }
    return h;
  }

  /// The line between the feathers' rests, over which the crown of a backed butt stands; else the face.
  double chord(double u) const {
    if (plan_.coats.empty() || (rest_left_ == 0 && rest_right_ == 0)) return 0;
    const Reach& last = plan_.coats.back();
    return rest_left_ + (rest_right_ - rest_left_) * (u + last.left) / (last.left + last.right);
  }

  double shrinkage(std::size_t coat) const { return shrinkage_of_coat(plan_.recipe.compound, static_cast<int>(coat)); }
  /// Of a coat's shrinkage, what has happened when the next one goes on. Setting compound has set by then.
  double share_shrunk(std::size_t coat) const {
    const bool early = plan_.recipe.recoat == RecoatSpec::early && coat + 1 < plan_.coats.size();
    return early && shrinkage(coat) != make_up().setting_shrinkage ? make_up().early : 1;
  }

  /// Lays coat `k`; what it will lose later is added to `sinks`.
  HeightCurve lay(const HeightCurve& before, const std::vector<Pull>& pulls, std::size_t k, HeightCurve& sinks) const {
    const double share = share_shrunk(k);
    Coat coat = lay_coat(before, pulls, share * shrinkage(k));
    if (share < 1) {
      add(coat.wet, before, -1);
      add(sinks, coat.wet, (1 - share) * shrinkage(k));
    }
    return coat.dried;
  }

  std::vector<Pull> pulls_of(const HeightCurve& before, std::size_t k, double top, bool pressed) const {
    const Reach& reach = plan_.coats[k];
    if (one_sided_) return plan_one_sided(before, reach.right, top, pressed, plan_.recipe.tools);
    // where the tape lies on a full face the later coats are pulled each side off the centre
    const bool sides = pressed && joins_sheets(kind_) && !is_recess(kind_);
    return plan_coat(before, reach.left, reach.right, top, sides, pressed, plan_.recipe.tools);
  }

  HeightCurve bed_and_tape(Section* s) {
    const MakeUp& m = make_up();
    const Reach& reach = plan_.coats[0];
    const double base = std::max(-edge_shape(plan_.recipe, true).depth, -edge_shape(plan_.recipe, false).depth);
    const double bed = std::clamp(plan_.figures.crown + chord(0) - base - tape_.thickness - m.cover, tape_.bed_least, tape_.bed_most);
    std::vector<Pull> pulls = pulls_of(bare_, 0, base + bed, false);
    HeightCurve h = lay(bare_, pulls, 0, sinks_);
    add_laps(h, pulls, lap_unsanded_, plan_.figures.lap_width, one_sided_);
    if (tape_.thickness > 0) {
      const double from = -std::min(tape_.half_width, reach.left), to = std::min(tape_.half_width, reach.right);
      // folded into a corner the tape has no edge there
      add_plateau(h, one_sided_ ? -1 : from, to, tape_.thickness, tape_edge_run);
      s->tape_from = from;
      s->tape_to = to;
      s->tape_thickness = tape_.thickness;
    }
    keep(*s, tape_.thickness > 0 ? "bed and tape" : "bed", h, pulls);
    return h;
  }

  HeightCurve wiped(Section* s) {
    std::vector<Pull> pulls = pulls_of_wiped();
    HeightCurve h = lay(bed_, pulls, 1, sinks_);
    add_laps(h, pulls, lap_unsanded_, plan_.figures.lap_width, one_sided_);
    add_tape_edge(h);
    keep(*s, "wiped coat", h, pulls);
    return h;
  }
  std::vector<Pull> pulls_of_wiped() const { return pulls_of(bed_, plan_.coats.size() - 1, bed_.height_at(0) + wiped_film, false); }

  /// The separate coats, the last one's blade coming to `top`, sanded. Keeps each in `s` when given.
  Worked coated(double top, Section* s) const {
    Worked w{bed_, sinks_};
    const std::size_t first = has_bed(kind_) ? 1 : 0, last = plan_.coats.size() - 1;
    // without a bed the first coat fills flush
    const double start = has_bed(kind_) ? bed_.height_at(0) : has_bead(kind_) ? top : 0;
    for (std::size_t k = first; k <= last; ++k) {
      // each coat brings the tape's top an equal share nearer to the finish
      const double share = k == last ? 1 : static_cast<double>(k) / static_cast<double>(last);
      std::vector<Pull> pulls = pulls_of(w.height, k, start + (top - start) * share, true);
      HeightCurve dried = lay(w.height, pulls, k, w.sinks);
      w.height = dried;
      add_laps(w.height, pulls, lap_unsanded_, plan_.figures.lap_width, one_sided_);
      if (s) keep(*s, "coat " + std::to_string(has_bed(kind_) ? k : k + 1), w.height, pulls);
      if (k < last) continue;
      if (!sands()) {
        add_tape_edge(w.height);
        continue;
      }
      w.height = sanded(dried, make_up().sanding_block, sanding_);
      if (has_bead(kind_)) keep_bead(w.height);
      add_laps(w.height, pulls, lap_unsanded_ * (1 - sanding_), plan_.figures.lap_width, one_sided_);
      add_tape_edge(w.height);
      if (scuffed_) scuff(w.height);
    }
    return w;
  }

  /// Sanding does not take a bead down.
  void keep_bead(HeightCurve& h) const {
    for (int i = 0; i < h.size(); ++i) {
      if (h.height[i] >= bare_.height[i]) continue;
      h.height[i] = bare_.height[i];
      h.slope[i] = bare_.slope[i];
    }
  }

  /// Paper beside the feathers roughened by too much sanding stands over the compound.
  void scuff(HeightCurve& h) const {
    const MakeUp& m = make_up();
    const double right = std::min(m.scuff_width, plan_.recipe.room_right - plan_.whole.right);
    const double left = std::min(m.scuff_width, plan_.recipe.room_left - plan_.whole.left);
    if (right > 2 * cell_spacing) add_plateau(h, plan_.whole.right, plan_.whole.right + right, m.scuff, scuff_edge);
    if (!one_sided_ && left > 2 * cell_spacing) add_plateau(h, -plan_.whole.left - left, -plan_.whole.left, m.scuff, scuff_edge);
  }

  HeightCurve skimmed(const HeightCurve& h) const {
    const double lost = shrinkage(plan_.coats.size());
    HeightCurve film = level_.film == "coat" ? covering_coat(over_faces(h), level_.film_reach, level_.skim, make_up().cover, lost)
                                             : drawn_film(over_faces(h), level_.film_reach, level_.skim, lost);
    film = sanded(film, make_up().sanding_block, sanding_);
    // back to the faces, which section() takes off again
    HeightCurve change = film;
    add(change, over_faces(h), -1);
    HeightCurve out = h;
    add(out, change);
    return out;
  }

  void add_tape_edge(HeightCurve& h) const {
    if (!has_bed(kind_) || tape_.thickness == 0) return;
    const double from = one_sided_ ? -1 : -std::min(tape_.half_width, plan_.whole.left);
    add_plateau(h, from, std::min(tape_.half_width, plan_.whole.right), plan_.figures.tape_edge, plan_.figures.lap_width);
  }

  /// How far the finished crown of a blade's height `top` lies over figures.crown, before or after the skim.
  double excess(double top, bool skim) const {
    HeightCurve h = coated(top, nullptr).height;
    h = over_faces(skim ? skimmed(h) : h);
    double lowest = 1, highest = -1;
    for (int i = 0; i < h.size(); ++i) {
      const double u = h.offset(i);
      if (u < -plan_.coats.back().left - cell_spacing / 2 || u > plan_.coats.back().right + cell_spacing / 2) continue;
      lowest = std::min(lowest, h.height[i] - chord(u));
      highest = std::max(highest, h.height[i] - chord(u));
    }
    return (plan_.figures.crown < 0 ? lowest : highest) - plan_.figures.crown;
  }

  /// The last blade's height at which the finished crown is figures.crown.
  double solved_top() const {
    if (has_bead(kind_)) return plan_.figures.crown;  // the blade rests on the nose
    const double target = plan_.figures.crown + chord(0), tape_top = has_bed(kind_) ? bed_.height_at(0) : 0;
    double low = std::min(tape_top, target) - 0.0005, high = std::max(tape_top, target) + 0.001;
    double at_low = excess(low, false), at_high = excess(high, false);
    if (at_low >= 0) return tape_top + make_up().cover;  // the tape itself stands higher: cover it and no more
    for (int i = 0; i < 8 && at_high < 0; ++i) at_high = excess(high += 0.002, false);
    if (at_high < 0) return high;
    double top = low;
    for (int i = 0, side = 0; i < 60; ++i) {  // regula falsi, Illinois
      top = (low * at_high - high * at_low) / (at_high - at_low);
      double e = excess(top, false);
      if (std::abs(e) < solved) break;
      (e < 0 ? low : high) = top;
      (e < 0 ? at_low : at_high) = e;
      int now = e < 0 ? -1 : 1;
      if (side == now) (e < 0 ? at_high : at_low) /= 2;
      side = now;
    }
    if (level_.skim == 0 || level_.film == "coat") return top;  // a coat buries the crown that it is laid on
    // the film is sanded too and takes a little off the apex: a few secant steps from there
    double before = top, at_before = excess(top, true);
    top -= at_before;
    for (int i = 0; i < 12; ++i) {
      double e = excess(top, true);
      if (std::abs(e) < solved || e == at_before) break;
      double next = top - e * (top - before) / (e - at_before);
      before = top;
      at_before = e;
      top = next;
    }
    return top;
  }

  Plan plan_;
  const Level& level_;
  JointKind kind_;
  TapeMake tape_;
  bool one_sided_, scuffed_ = false;
  HeightCurve bare_, bed_;
  HeightCurve sinks_;           ///< what coats recoated too early lose after the last sanding
  double lap_unsanded_ = 0, sanding_ = 0, rest_left_ = 0, rest_right_ = 0;
};

}  // namespace

double Section::height_at(double u) const {
  double x = (u - first) / step;
  int end = static_cast<int>(height.size()) - 1;
  if (!(x >= 0) || x > end || end < 1) return 0;
  int i = std::min(static_cast<int>(x), end - 1);
  return kernel::hermite_height(height[i], slope[i], height[i + 1], slope[i + 1], step, x - i).height;
}

double Section::slope_at(double u) const {
  double x = (u - first) / step;
  int end = static_cast<int>(height.size()) - 1;
  if (!(x >= 0) || x > end || end < 1) return 0;
  int i = std::min(static_cast<int>(x), end - 1);
  return kernel::hermite_height(height[i], slope[i], height[i + 1], slope[i + 1], step, x - i).slope;
}

Section make_section(const Recipe& recipe, const SectionFigures& figures) {
  return Builder(plan_of(recipe, figures)).section();
}

}  // namespace rakelight
