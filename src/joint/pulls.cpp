#include "joint/pulls.h"

#include <algorithm>
#include <cmath>

#include "joint/make_up.h"

namespace rakelight {
namespace {

/// Bulge of a side pull over its chord, as a share of its rise: between a straight feather (0) and a half-parabola
/// that arrives level (0.25). An estimate.
constexpr double side_bulge = 0.15;
/// How far past the centre a side pull runs, as a share of the coat's width.
constexpr double side_overlap = 0.10;
constexpr double arris = 0.001;       ///< half the width over which a step between cut ends rises
constexpr double longest_default = 0.300;  ///< blade taken when the job names none
constexpr double touch = 1e-9;        ///< offsets nearer than this are the same place
constexpr double contact = 1e-12;     ///< a blade no higher than this over a surface rests on it
constexpr double lap_inset = 2;       ///< widths between a feather and the ridge of the blade's outer end

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

void add_bare_joint(HeightCurve& h, JointKind kind, double step, double left, double right) {
  const MakeUp& m = make_up();
  for (int i = 0; i < h.size(); ++i) {
    double u = h.offset(i);
    if (kind == JointKind::butt) {
      double t = std::clamp((u / arris + 1) / 2, 0.0, 1.0);
      h.height[i] += step * (t * t * (3 - 2 * t) - 0.5);
      h.slope[i] += step * 6 * t * (1 - t) / (2 * arris);
      continue;
    }
    double scale = std::min(1.0, (u < 0 ? left : right) / (m.taper_width + m.shoulder));
    double x = std::abs(u) / scale, w = m.taper_width, r = m.shoulder, k = m.taper_depth / w;
    double height = 0, slope = 0;
    if (x < w - r) {
      height = -k * (w - x);
      slope = k;
    } else if (x < w + r) {
      height = -k * (w + r - x) * (w + r - x) / (4 * r);
      slope = k * (w + r - x) / (2 * r);
    }
    h.height[i] += height;
    // the V at the centre is a break: no slope on the sample itself
    h.slope[i] += std::abs(u) < touch ? 0 : slope / scale * (u < 0 ? -1 : 1);
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
  double blade = tools.empty() ? longest_default : *std::max_element(tools.begin(), tools.end());
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

void add_laps(HeightCurve& h, const std::vector<Pull>& pulls, double ridge, double width) {
  if (pulls.empty()) return;
  double left = pulls.front().from, right = pulls.front().to;
  for (const Pull& p : pulls) {
    left = std::min(left, p.from);
    right = std::max(right, p.to);
  }
  std::vector<double> done;
  auto mark = [&](double at, bool pressed) {
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
