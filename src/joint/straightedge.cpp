// The rule is a straight line that nowhere lies under the face. Where it can rest is the upper convex hull of the face
// beneath it; which of those lines it takes is what `Held` says.
#include "joint/straightedge.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "base/wide.h"
#include "joint/data.h"

namespace rakelight {
namespace {

constexpr double rounding = 1e-6;       // m

/// A face's heights, what each stretch between two samples has of its cubic worked out once.
class Heights {
 public:
  explicit Heights(const HeightCurve& face) : face_(face) {
    for (int i = 0; i + 1 < face.size(); ++i) {
      // as kernel::hermite_height has them
      const double d = face.height[i + 1] - face.height[i], m0 = face.slope[i] * face.step, m1 = face.slope[i + 1] * face.step;
      cubic_.push_back({face.height[i], m0, 3.0 * d - 2.0 * m0 - m1, m0 + m1 - 2.0 * d});
    }
  }
  /// At from + i · step for every i of `height`.
  void read(double from, double step, std::vector<double>& height) const {
    const auto count = static_cast<double>(height.size());
    // a sample more at either end, for roundings
    const double first = std::clamp(std::floor((face_.first - from) / step) - 1, 0.0, count), last = std::clamp(std::ceil((face_.offset(face_.size() - 1) - from) / step) + 2, first, count);
    std::fill(height.begin(), height.end(), 0.0);
    for (auto i = static_cast<std::size_t>(first); i < static_cast<std::size_t>(last); ++i) height[i] = at(from + step * static_cast<double>(i));
  }
  double slope_at(double u) const { return face_.slope_at(u); }

 private:
  double at(double u) const {
    const double x = (u - face_.first) / face_.step;
    const int last = face_.size() - 1;
    if (!(x >= 0) || x > last || last < 1) return 0;
    const int i = std::min(static_cast<int>(x), last - 1);
    const std::array<double, 4>& c = cubic_[static_cast<std::size_t>(i)];
    const double t = x - i;
    return c[0] + t * (c[1] + t * (c[2] + t * c[3]));
  }

  const HeightCurve& face_;
  std::vector<std::array<double, 4>> cubic_;
};

/// The face under the rule: heights at x = i · step from its left end.
struct Under {
  std::vector<double> height;
  double step = 0;
  std::vector<std::size_t> hull;  ///< room for bridging()
  double last() const { return step * static_cast<double>(height.size() - 1); }
};

/// Of a rule of that length, to be read where it is laid.
Under under(double length, double sample) {
  const auto cells = static_cast<std::size_t>(std::max(200.0, std::ceil(length / sample)));
  return {std::vector<double>(cells + 1), length / static_cast<double>(cells), {}};
}

struct Line { double at_left = 0, slope = 0; };

const Four ascending{0, 1, 2, 3};

/// Largest of level + slope (step i) - height[i] over `count` samples, i counted from `first`; at least `least`.
RAKELIGHT_WIDE double largest_gap(const double* height, std::size_t first, std::size_t count, double step, double level, double slope, double least) {
  Four all{least, least, least, least}, there;
  std::size_t i = 0;
  for (; i + four <= count; i += four) {
    load(there, height + i);
    const Four gap = level + slope * (step * (static_cast<double>(first + i) + ascending)) - there;
    all = gap > all ? gap : all;
  }
  double largest = std::max(std::max(all[0], all[1]), std::max(all[2], all[3]));
  for (; i < count; ++i) largest = std::max(largest, level + slope * (step * static_cast<double>(first + i)) - height[i]);
  return largest;
}

/// Largest of height[i] - rise i.
RAKELIGHT_WIDE double largest_lift(const double* height, std::size_t count, double rise) {
  Four all{height[0], height[0], height[0], height[0]}, there;
  std::size_t i = 0;
  for (; i + four <= count; i += four) {
    load(there, height + i);
    const Four lift = there - rise * (static_cast<double>(i) + ascending);
    all = lift > all ? lift : all;
  }
  double largest = std::max(std::max(all[0], all[1]), std::max(all[2], all[3]));
  for (; i < count; ++i) largest = std::max(largest, height[i] - rise * static_cast<double>(i));
  return largest;
}

/// Largest distance from the line down to the face between samples a and b; where, if it is over `known`.
RuleReading gap_under(const Under& u, const Line& line, double from, std::size_t a, std::size_t b, double known) {
  RuleReading r{largest_gap(u.height.data() + a, a, b - a + 1, u.step, line.at_left, line.slope, 0), from, from};
  if (r.gap <= std::max(known, 0.0)) return r;
  std::size_t i = a;
  const auto gap_at = [&](double x) { return line.at_left + line.slope * x - u.height[i]; };
  while (i < b && gap_at(u.step * static_cast<double>(i)) < r.gap) ++i;
  r.at = from + u.step * static_cast<double>(i);
  return r;
}

/// The lowest line of this slope that is nowhere under the face.
Line resting(const Under& u, double slope) { return {largest_lift(u.height.data(), u.height.size(), slope * u.step), slope}; }

RuleReading balanced(const Under& u, double from, double known) {
  return gap_under(u, resting(u, (u.height.back() - u.height.front()) / u.last()), from, 0, u.height.size() - 1, known);
}

RuleReading rocked(const Heights& face, const Under& u, double from) {
  const std::size_t n = u.height.size() - 1;
  // slopes of the lines through an end that just clear the face; where it is rounded there, its tangent
  double left = face.slope_at(from), right = face.slope_at(from + u.last());
  for (std::size_t i = 1; i <= n; ++i) left = std::max(left, (u.height[i] - u.height[0]) / (u.step * static_cast<double>(i)));
  for (std::size_t i = 0; i < n; ++i) right = std::min(right, (u.height[n] - u.height[i]) / (u.step * static_cast<double>(n - i)));
  const RuleReading a = gap_under(u, {u.height[0], left}, from, 0, n, 0);
  const RuleReading b = gap_under(u, {u.height[n] - right * u.last(), right}, from, 0, n, 0);
  return a.gap >= b.gap ? a : b;
}

RuleReading bridging(Under& u, double from, double known) {
  std::vector<std::size_t>& hull = u.hull;  // upper, left to right
  hull.clear();
  for (std::size_t i = 0; i < u.height.size(); ++i) {
    while (hull.size() > 1) {
      const std::size_t a = hull[hull.size() - 2], b = hull.back();
      if ((u.height[b] - u.height[a]) * static_cast<double>(i - a) > (u.height[i] - u.height[a]) * static_cast<double>(b - a)) break;
      hull.pop_back();
    }
    hull.push_back(i);
  }
  // the edge over the middle: resting anywhere else the rule would tip
  std::size_t k = 1;
  while (k + 1 < hull.size() && 2 * hull[k] < u.height.size() - 1) ++k;
  const std::size_t a = hull[k - 1], b = hull[k];
  const double slope = (u.height[b] - u.height[a]) / (u.step * static_cast<double>(b - a));
  return gap_under(u, {u.height[a] - slope * u.step * static_cast<double>(a), slope}, from, a, b, known);
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

/// `known`: a gap that is read already; of smaller ones nobody asks where they are.
RuleReading read(const Heights& heights, const HeightCurve& face, Held held, double length, double middle, Under& u, double known) {
  const double from = middle - length / 2;
  if (held == Held::step) return {std::abs(face.height_at(from + length) - face.height_at(from)), middle, from};
  heights.read(from, u.step, u.height);
  switch (held) {
    case Held::balanced: return balanced(u, from, known);
    case Held::rocked: return rocked(heights, u, from);
    case Held::bridging: return bridging(u, from, known);
    default: return on_feet(u, from);
  }
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
  Under u = under(length, sample);
  return read(Heights(face), face, held, length, middle, u, 0);
}

RuleReading worst_rule(const HeightCurve& face, Held held, double length, double lo, double hi, double sample) {
  const double pitch = std::max(length / 200, 1e-3);
  const int steps = static_cast<int>(std::ceil((hi - lo) / pitch - 1e-9));
  const Heights heights(face);
  Under u = under(length, sample);
  RuleReading worst = read(heights, face, held, length, lo, u, 0);
  for (int i = 1; i <= steps; ++i) {
    const RuleReading r = read(heights, face, held, length, std::min(lo + i * pitch, hi), u, worst.gap);
    if (r.gap > worst.gap) worst = r;
  }
  return worst;
}

bool Limit::allows(double reading) const { return below ? reading < gap : reading <= gap + rounding; }

const std::vector<Limit>& limits() { return published().limits; }
const std::vector<Silence>& silent_documents() { return published().silent; }

}  // namespace rakelight
