// The rule is a straight line that nowhere lies under the face. Where it can rest is the upper convex hull of the face
// beneath it; which of those lines it takes is what `Held` says.
#include "joint/straightedge.h"

#include <algorithm>
#include <cmath>

#include "joint/data.h"

namespace rakelight {
namespace {

constexpr double rounding = 1e-6;       // m

/// The face under the rule: heights at x = i · step from its left end.
struct Under {
  std::vector<double> height;
  double step = 0;
  double last() const { return step * static_cast<double>(height.size() - 1); }
};

Under under(const HeightCurve& face, double from, double length, double sample) {
  const auto cells = static_cast<std::size_t>(std::max(200.0, std::ceil(length / sample)));
  Under u{std::vector<double>(cells + 1), length / static_cast<double>(cells)};
  for (std::size_t i = 0; i <= cells; ++i) u.height[i] = face.height_at(from + u.step * static_cast<double>(i));
  return u;
}

struct Line { double at_left = 0, slope = 0; };

/// Largest distance from the line down to the face between samples a and b.
RuleReading gap_under(const Under& u, const Line& line, double from, std::size_t a, std::size_t b) {
  RuleReading r{0, from, from};
  for (std::size_t i = a; i <= b; ++i) {
    const double x = u.step * static_cast<double>(i), gap = line.at_left + line.slope * x - u.height[i];
    if (gap > r.gap) r = {gap, from + x, from};
  }
  return r;
}

/// The lowest line of this slope that is nowhere under the face.
Line resting(const Under& u, double slope) {
  double lift = u.height[0];
  for (std::size_t i = 1; i < u.height.size(); ++i) lift = std::max(lift, u.height[i] - slope * u.step * static_cast<double>(i));
  return {lift, slope};
}

RuleReading balanced(const Under& u, double from) {
  return gap_under(u, resting(u, (u.height.back() - u.height.front()) / u.last()), from, 0, u.height.size() - 1);
}

RuleReading rocked(const HeightCurve& face, const Under& u, double from) {
  const std::size_t n = u.height.size() - 1;
  // slopes of the lines through an end that just clear the face; where it is rounded there, its tangent
  double left = face.slope_at(from), right = face.slope_at(from + u.last());
  for (std::size_t i = 1; i <= n; ++i) left = std::max(left, (u.height[i] - u.height[0]) / (u.step * static_cast<double>(i)));
  for (std::size_t i = 0; i < n; ++i) right = std::min(right, (u.height[n] - u.height[i]) / (u.step * static_cast<double>(n - i)));
  const RuleReading a = gap_under(u, {u.height[0], left}, from, 0, n);
  const RuleReading b = gap_under(u, {u.height[n] - right * u.last(), right}, from, 0, n);
  return a.gap >= b.gap ? a : b;
}

RuleReading bridging(const Under& u, double from) {
  std::vector<std::size_t> hull;  // upper, left to right
  for (std::size_t i = 0; i < u.height.size(); ++i) {
    while (hull.size() > 1) {
      const std::size_t a = hull[hull.size() - 2], b = hull.back();
      const double on = u.height[a] + (u.height[i] - u.height[a]) * static_cast<double>(b - a) / static_cast<double>(i - a);
      if (u.height[b] > on) break;
      hull.pop_back();
    }
    hull.push_back(i);
  }
  // the edge over the middle: resting anywhere else the rule would tip
  std::size_t k = 1;
  while (k + 1 < hull.size() && 2 * hull[k] < u.height.size() - 1) ++k;
  const std::size_t a = hull[k - 1], b = hull[k];
  const double slope = (u.height[b] - u.height[a]) / (u.step * static_cast<double>(b - a));
  return gap_under(u, {u.height[a] - slope * u.step * static_cast<double>(a), slope}, from, a, b);
}

RuleReading on_feet(const Under& u, double from) {
  const double slope = (u.height.back() - u.height.front()) / u.last();
  RuleReading r{0, from, from};
  for (std::size_t i = 0; i < u.height.size(); ++i) {
    const double x = u.step * static_cast<double>(i), off = std::abs(u.height[i] - u.height[0] - slope * x);
    if (off > r.gap) r = {off, from + x, from};
  }
  return r;
}

const char* const words[] = {"balanced", "rocked", "bridging", "feet", "step"};

struct Published { std::vector<Limit> limits; std::vector<Silence> silent; };

const Published& published() {
  static const Published read = [] {
    const std::string file = "schemes/tolerances.toml";
    const TomlNode tree = embedded_tree(file);
    Diagnostics diagnostics;
    const DataTable root(tree, diagnostics);
    const std::vector<std::string> grounds{"V", "V2", "M+", "M", "M-", "D"};
    Published p;
    for (const DataTable& t : root.subs("limit")) {
      Limit l{t.text("id"), t.text("country"), t.text("text"), t.metres("gap"), t.metres("base"), t.flag("below", false),
              Held::balanced, t.word("applies", {"recessed", "joint", "face", "corner", "internal-corner", "external-corner", "other"}),
              {t.text("source"), t.word("confidence", grounds)}};
      l.held = static_cast<Held>(std::find(std::begin(words), std::end(words), t.word("held", {std::begin(words), std::end(words)})) - std::begin(words));
      t.finish();
      p.limits.push_back(std::move(l));
    }
    for (const DataTable& t : root.subs("silent")) {
      p.silent.push_back({t.text("country"), t.text("text"), {t.text("source"), t.word("confidence", grounds)}});
      t.finish();
    }
    require_sound(file, diagnostics);
    return p;
  }();
  return read;
}

}  // namespace

std::string held_text(Held held) { return words[static_cast<std::size_t>(held)]; }

RuleReading read_rule(const HeightCurve& face, Held held, double length, double middle, double sample) {
  const double from = middle - length / 2;
  if (held == Held::step) return {std::abs(face.height_at(from + length) - face.height_at(from)), middle, from};
  const Under u = under(face, from, length, sample);
  switch (held) {
    case Held::balanced: return balanced(u, from);
    case Held::rocked: return rocked(face, u, from);
    case Held::bridging: return bridging(u, from);
    default: return on_feet(u, from);
  }
}

RuleReading worst_rule(const HeightCurve& face, Held held, double length, double lo, double hi, double sample) {
  const double pitch = std::max(length / 200, 1e-3);
  const int steps = static_cast<int>(std::ceil((hi - lo) / pitch - 1e-9));
  RuleReading worst = read_rule(face, held, length, lo, sample);
  for (int i = 1; i <= steps; ++i) {
    const RuleReading r = read_rule(face, held, length, std::min(lo + i * pitch, hi), sample);
    if (r.gap > worst.gap) worst = r;
  }
  return worst;
}

bool Limit::allows(double reading) const { return below ? reading < gap : reading <= gap + rounding; }

const std::vector<Limit>& limits() { return published().limits; }
const std::vector<Silence>& silent_documents() { return published().silent; }

}  // namespace rakelight
