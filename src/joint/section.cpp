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

constexpr double spacing = 0.0005;
constexpr double solved = 1e-11;           ///< m: how near the crown is brought to the figure
constexpr double bare_butt_half = 0.100;   ///< how far a bare butt's step is shown to either side
constexpr double least_half = 0.005;       ///< a joint keeps at least this much room
constexpr double tape_edge_run = 0.002;    ///< compound wiped against the tape's own edge
constexpr double wiped_film = 0.0001;      ///< a coat wiped tight: what stays over the tape (0–0.1 scraped, 0.1–0.3 drawn)

double on_grid(double x) { return std::max(std::floor(x / spacing + 1e-6), 1.0) * spacing; }

/// Half-widths of one coat.
struct Reach { double left = 0, right = 0; };

struct Plan {
  Recipe recipe;
  SectionFigures figures;
  std::vector<Reach> coats;  ///< bed first
  Reach whole;               ///< feathers
};

Plan plan_of(const Recipe& recipe, const SectionFigures& figures) {
  const MakeUp& m = make_up();
  Plan p{recipe, figures, {}, {}};
  auto capped = [&](double half) {
    return Reach{on_grid(std::clamp(half, least_half, std::max(recipe.room_left, least_half))),
                 on_grid(std::clamp(half, least_half, std::max(recipe.room_right, least_half)))};
  };
  bool recessed = recipe.kind == JointKind::recessed;
  p.whole = capped(recessed ? m.taper_width + m.shoulder : recipe.level.tape ? least_half : bare_butt_half);
  if (!recipe.level.tape) return p;
  const std::vector<double>& widths = recessed ? recipe.level.recessed_widths : recipe.level.butt_widths;
  double finished = recipe.width.value_or(widths.back()), scale = finished / widths.back();
  for (std::size_t k = 0; k < widths.size(); ++k) {
    // the bed keeps the width of the blade that lays it
    double width = k == 0 ? std::min(widths[0], finished) : std::max(widths[k] * scale, std::min(widths[0], finished));
    p.coats.push_back(capped(width / 2));
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
  explicit Builder(Plan plan) : plan_(std::move(plan)), level_(plan_.recipe.level) {
    double margin = 4 * spacing + (level_.skim > 0 ? default_film_reach : 0);
    bare_ = HeightCurve(-plan_.whole.left - on_grid(margin), plan_.whole.right + on_grid(margin), spacing);
    add_bare_joint(bare_, plan_.recipe.kind, plan_.figures.step, plan_.whole.left, plan_.whole.right);
    lap_unsanded_ = plan_.figures.lap_ridge / (1 - make_up().sanding_fraction);
  }

  Section section() {
    Section s;
    s.first = bare_.first;
    s.step = bare_.step;
    s.left = -plan_.whole.left;
    s.right = plan_.whole.right;
    s.cover = level_.tape ? 1 : 0;
    HeightCurve finished = bare_;
    if (level_.tape) {
      bed_ = bed_and_tape();
      keep(s, "bed and tape", bed_);
      finished = bed_;
      if (level_.wiped_coat) {
        finished = wiped();
        keep(s, "wiped coat", finished);
      } else if (level_.coats > 0) {
        finished = coated(solved_top(), &s);
        keep(s, "sanded", finished);
      }
      if (level_.skim > 0) {
        finished = skimmed(finished);
        keep(s, "skim", finished);
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
  void keep(Section& s, const std::string& name, const HeightCurve& h) const {
    s.coat_names.push_back(name);
    s.coats.push_back(over_faces(h).height);
  }

  /// Heights over the even ramp from face to face.
  HeightCurve over_faces(HeightCurve h) const {
    double step = plan_.recipe.kind == JointKind::butt ? plan_.figures.step : 0;
    if (step == 0) return h;
    for (int i = 0; i < h.size(); ++i) {
      kernel::HeightSlope ramp = kernel::ease(h.offset(i) + plan_.whole.left, plan_.whole.left + plan_.whole.right);
      h.height[i] -= step * (ramp.height - 0.5);
      h.slope[i] -= step * ramp.slope;
    }
    return h;
  }

  double shrinkage(std::size_t coat) const { return shrinkage_of_coat(plan_.recipe.compound, static_cast<int>(coat)); }

  HeightCurve bed_and_tape() const {
    const MakeUp& m = make_up();
    const Reach& reach = plan_.coats[0];
    double base = bare_.height_at(0);
    double bed = std::clamp(plan_.figures.crown - base - m.tape_thickness - m.cover, m.bed_least, m.bed_most);
    std::vector<Pull> pulls = plan_coat(bare_, reach.left, reach.right, base + bed, false, false, plan_.recipe.tools);
    HeightCurve h = lay_coat(bare_, pulls, shrinkage(0)).dried;
    add_laps(h, pulls, lap_unsanded_, plan_.figures.lap_width);
    add_plateau(h, -std::min(m.tape_half_width, reach.left), std::min(m.tape_half_width, reach.right), m.tape_thickness, tape_edge_run);
    return h;
  }

  HeightCurve wiped() const {
    const Reach& reach = plan_.coats.back();
    std::vector<Pull> pulls = plan_coat(bed_, reach.left, reach.right, bed_.height_at(0) + wiped_film, false, false, plan_.recipe.tools);
    HeightCurve h = lay_coat(bed_, pulls, shrinkage(1)).dried;
    add_laps(h, pulls, lap_unsanded_, plan_.figures.lap_width);
    add_tape_edge(h);
    return h;
  }

  /// The separate coats, the last one's blade coming to `top`, sanded. Keeps each in `s` when given.
  HeightCurve coated(double top, Section* s) const {
    HeightCurve h = bed_;
    double tape_top = bed_.height_at(0);
    std::size_t last = plan_.coats.size() - 1;
    for (std::size_t k = 1; k <= last; ++k) {
      // each coat brings the tape's top an equal share nearer to the finish
      double share = static_cast<double>(k) / static_cast<double>(last);
      const Reach& reach = plan_.coats[k];
      std::vector<Pull> pulls = plan_coat(h, reach.left, reach.right, tape_top + (top - tape_top) * share,
                                          plan_.recipe.kind == JointKind::butt, true, plan_.recipe.tools);
      HeightCurve dried = lay_coat(h, pulls, shrinkage(k)).dried;
      h = dried;
      add_laps(h, pulls, lap_unsanded_, plan_.figures.lap_width);
      if (s) keep(*s, "coat " + std::to_string(k), h);
      if (k == last) {
        h = sanded(dried, make_up().sanding_block, make_up().sanding_fraction);
        add_laps(h, pulls, plan_.figures.lap_ridge, plan_.figures.lap_width);
        add_tape_edge(h);
      }
    }
    return h;
  }

  HeightCurve skimmed(const HeightCurve& h) const {
    HeightCurve film = drawn_film(over_faces(h), default_film_reach, level_.skim, shrinkage(plan_.coats.size()));
    film = sanded(film, make_up().sanding_block, make_up().sanding_fraction);
    // back to the faces, which section() takes off again
    HeightCurve change = film;
    add(change, over_faces(h), -1);
    HeightCurve out = h;
    add(out, change);
    return out;
  }

  void add_tape_edge(HeightCurve& h) const {
    double half = make_up().tape_half_width;
    add_plateau(h, -std::min(half, plan_.whole.left), std::min(half, plan_.whole.right), plan_.figures.tape_edge, plan_.figures.lap_width);
  }

  /// How far the finished crown of a blade's height `top` lies over figures.crown, before or after the skim.
  double excess(double top, bool skim) const {
    HeightCurve h = coated(top, nullptr);
    h = over_faces(skim ? skimmed(h) : h);
    auto [lo, hi] = std::minmax_element(h.height.begin(), h.height.end());
    return (plan_.figures.crown < 0 ? *lo : *hi) - plan_.figures.crown;
  }

  /// The last blade's height at which the finished crown is figures.crown.
  double solved_top() const {
    double target = plan_.figures.crown, tape_top = bed_.height_at(0);
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
    if (level_.skim == 0) return top;
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
  HeightCurve bare_, bed_;
  double lap_unsanded_ = 0;
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
