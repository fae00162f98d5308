#include "joint/pulls.h"

#include <algorithm>
#include <cmath>

#include "joint/make_up.h"
#include "kernel/relief.h"

namespace rakelight {
namespace {

/// Bulge of a side pull over its chord, as a share of its rise: between a straight feather (0) and a half-parabola
/// that arrives level (0.25). An estimate.
constexpr double side_bulge = 0.15;
/// How far past the centre a side pull runs, as a share of the coat's width.
constexpr double side_overlap = 0.10;
constexpr double arris = 0.001;       ///< half the width over which a step between cut ends rises
constexpr double sprung_rounding = 0.2;  ///< share of a sprung end's run over which its shoulder is rounded, either side
constexpr double flange_edge = 0.001; ///< over which the edge of a bead's flange falls
constexpr double longest_default = 0.300;  ///< blade taken when the job names none
constexpr double touch = 1e-9;        ///< offsets nearer than this are the same place
constexpr double contact = 1e-12;     ///< a blade no higher than this over a surface rests on it
constexpr double lap_inset = 2;       ///< widths between a feather and the ridge of the blade's outer end

double longest_of(const std::vector<double>& tools) {
  return tools.empty() ? longest_default : *std::max_element(tools.begin(), tools.end());
}

BladePoint unpressed(const Pull& p, double u) {
  double length = p.to - p.from, f = (u - p.from) / length;
  double chord = (p.rest_to - p.rest_from) / length;
  // 1 − t² with t = 2f − 1
  return {p.rest_from + chord * (u - p.from) + p.flex * 4 * f * (1 - f), chord + p.flex * 4 * (1 - 2 * f) / length};
}

/// Side pulls from the outer edge at `outer` to the inner end at `inner` (either direction) rising to `top`.
void side_pulls(std::vector<Pull>& pulls, double outer, double inner, double rest, double top, bool pressed, double blade) {
  int passes = std::max(1, static_cast<int>(std::ceil(std::abs(inner - outer) / blade - touch)));
  // the whole side is one parabola; a part of it 1/n as long has 1/n² of its bulge, so passes join without a kink
  Pull whole{std::min(outer, inner), std::max(outer, inner), outer < inner ? rest : top, outer < inner ? top : rest,
             side_bulge * (top - rest), false, false};
  for (int i = 0; i < passes; ++i) {
    Pull p;
    p.from = whole.from + (whole.to - whole.from) * i / passes;
    p.to = whole.from + (whole.to - whole.from) * (i + 1) / passes;
    p.rest_from = unpressed(whole, p.from).height;
    p.rest_to = unpressed(whole, p.to).height;
    p.flex = whole.flex / (passes * passes);
    p.press_from = pressed && outer < inner && i == 0;
    p.press_to = pressed && outer > inner && i == passes - 1;
    pulls.push_back(p);
  }
}

}  // namespace

EdgeShape edge_shape(const Recipe& recipe, bool left) {
  const MakeUp& m = make_up();
  switch (recipe.kind) {
    case JointKind::recessed: return {m.taper_depth, m.taper_width, m.shoulder};
    case JointKind::half_round: return {m.taper_depth, m.taper_width, m.shoulder, m.nose_depth, m.nose_width, true};
    case JointKind::chamfered: return {0, 0, 0, m.chamfer_depth, m.chamfer_width};
    case JointKind::cut_to_cut: return {0, 0, 0, m.pared_depth, m.pared_width};
    case JointKind::cut_to_recessed:
      if (recipe.cut_left == left) return {0, 0, 0, m.pared_depth, m.pared_width};
      return {m.taper_depth, m.taper_width, m.shoulder};
    case JointKind::backed_butt: return {recipe.sprung_by, recipe.sprung_over, recipe.sprung_over * sprung_rounding};
    default: return {};
  }
}

void add_bare_joint(HeightCurve& h, const Recipe& recipe, double step, double left, double right) {
  const EdgeShape edges[] = {edge_shape(recipe, true), edge_shape(recipe, false)};
  const double rooms[] = {left, right};
  auto face = [&](int side, double x) {
    const EdgeShape& e = edges[side];
    BladePoint p{0, 0};  // slope along x, away from the joint
    if (e.depth > 0) {
      double scale = std::min(1.0, rooms[side] / (e.width + e.shoulder)), k = e.depth / e.width, y = x / scale, end = e.width + e.shoulder;
      if (y < e.width - e.shoulder) p = {-k * (e.width - y), k / scale};
      else if (y < end) p = {-k * (end - y) * (end - y) / (4 * e.shoulder), k * (end - y) / (2 * e.shoulder) / scale};
    }
    if (x < e.groove_width) {
      double left_over = 1 - x / e.groove_width, k = e.groove_depth / e.groove_width;
      p.height -= e.groove_depth * (e.round ? left_over * left_over : left_over);
      p.slope += e.round ? 2 * k * left_over : k;
    }
    return p;
  };
  const bool uneven = face(0, 0).height != face(1, 0).height;
  for (int i = 0; i < h.size(); ++i) {
    double u = h.offset(i), x = std::abs(u);
    const kernel::HeightSlope across = kernel::ease(u + arris, 2 * arris);
    if (has_step(recipe.kind)) {
      h.height[i] += step * (across.height - 0.5);
      h.slope[i] += step * across.slope;
    }
    if (uneven && x < arris) {
      const BladePoint a = face(0, x), b = face(1, x);
      h.height[i] += a.height + (b.height - a.height) * across.height;
      h.slope[i] += -a.slope * (1 - across.height) + b.slope * across.height + (b.height - a.height) * across.slope;
      continue;
    }
    const BladePoint p = face(u < 0 ? 0 : 1, x);
    h.height[i] += p.height;
    // the V at the centre is a break: no slope on the sample itself
    h.slope[i] += x < touch ? 0 : p.slope * (u < 0 ? -1 : 1);
  }
}

void add_bead(HeightCurve& h, double nose) {
  const MakeUp& m = make_up();
  for (int i = 0; i < h.size(); ++i) {
    const double u = h.offset(i);
    const kernel::HeightSlope fall = kernel::ease(u, m.bead_nose), end = kernel::ease(u - m.bead_flange_width, flange_edge);
    h.height[i] += nose + (m.bead_flange - nose) * fall.height - m.bead_flange * end.height;
    h.slope[i] += (m.bead_flange - nose) * fall.slope - m.bead_flange * end.slope;
  }
}

void add_dimple(HeightCurve& h) {
  const MakeUp& m = make_up();
  for (int i = 0; i < h.size(); ++i) {
    const double t = h.offset(i) / m.dimple_radius, rest = 1 - t * t;
    if (rest <= 0) continue;
    h.height[i] -= m.dimple_depth * rest * rest;
    h.slope[i] += m.dimple_depth * 4 * rest * t / m.dimple_radius;
  }
}

BladePoint blade_at(const Pull& p, double u) {
  double edge = pressed_share * (p.to - p.from);
  bool at_from = p.press_from && u < p.from + edge, at_to = p.press_to && u > p.to - edge;
  if (!at_from && !at_to) return unpressed(p, u);
  // cubic from (rest, slope 0) to where the free blade takes over
  double start = at_from ? p.from : p.to, rest = at_from ? p.rest_from : p.rest_to, run = at_from ? edge : -edge;
  BladePoint join = unpressed(p, start + run);
  double t = (u - start) / run, d = join.height - rest, m = join.slope * run;
  return {rest + t * t * (3 * d - m + t * (m - 2 * d)), t * (2 * (3 * d - m) + 3 * t * (m - 2 * d)) / run};
}

Coat lay_coat(const HeightCurve& before, const std::vector<Pull>& pulls, double shrinkage) {
  Coat coat{before, before};
  for (int i = 0; i < before.size(); ++i) {
    double u = before.offset(i);
    const Pull* lowest = nullptr;
    BladePoint blade;
    for (const Pull& p : pulls) {
      if (u < p.from - touch || u > p.to + touch) continue;
      BladePoint b = blade_at(p, u);
      if (!lowest || b.height < blade.height) blade = b;
      lowest = &p;
    }
    if (!lowest || blade.height <= before.height[i] + contact) continue;
    coat.wet.height[i] = blade.height;
    coat.wet.slope[i] = blade.slope;
    coat.dried.height[i] += (1 - shrinkage) * (blade.height - before.height[i]);
    coat.dried.slope[i] += (1 - shrinkage) * (blade.slope - before.slope[i]);
  }
  return coat;
}

std::vector<Pull> plan_coat(const HeightCurve& before, double left, double right, double top, bool sides, bool pressed,
                            const std::vector<double>& tools) {
  double blade = longest_of(tools);
  double width = left + right, rest_left = before.height_at(-left), rest_right = before.height_at(right);
  std::vector<Pull> pulls;
  if (!sides && width <= blade + touch) {
    pulls.push_back({-left, right, rest_left, rest_right, top - (rest_left + rest_right) / 2, pressed, pressed});
    return pulls;
  }
  double past = std::min(side_overlap * width, 0.8 * std::min(left, right));
  side_pulls(pulls, -left, past, rest_left, top, pressed, blade);
  side_pulls(pulls, right, -past, rest_right, top, pressed, blade);
  return pulls;
}

std::vector<Pull> plan_one_sided(const HeightCurve& before, double right, double top, bool pressed, const std::vector<double>& tools) {
  std::vector<Pull> pulls;
  side_pulls(pulls, right, 0, before.height_at(right), top, pressed, longest_of(tools));
  return pulls;
}

void add_laps(HeightCurve& h, const std::vector<Pull>& pulls, double ridge, double width, bool one_sided) {
  if (pulls.empty()) return;
  double left = pulls.front().from, right = pulls.front().to;
  for (const Pull& p : pulls) {
    left = std::min(left, p.from);
    right = std::max(right, p.to);
  }
  std::vector<double> done;
  auto mark = [&](double at, bool pressed) {
    if (one_sided && at < touch) return;
    // passes that share an end leave one mark
    for (double d : done)
      if (std::abs(d - at) < touch) return;
    done.push_back(at);
    bool outer = at - left < touch || right - at < touch;
    double inset = outer ? std::min(lap_inset * width, (right - left) / 4) : 0;
    add_ridge(h, at - left < touch ? at + inset : at - inset, pressed ? ridge / 2 : ridge, width);
  };
  for (const Pull& p : pulls) {
    mark(p.from, p.press_from);
    mark(p.to, p.press_to);
  }
}

}  // namespace rakelight
