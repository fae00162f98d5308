// A rule across a joint: worked readings, and against brute force on random faces.
#include <cmath>
#include <functional>
#include <set>

#include <catch2/catch.hpp>

#include "base/random.h"
#include "base/units.h"
#include "joint/straightedge.h"
#include "support/validated.h"

using namespace rakelight;
using Approx = Catch::Detail::Approx;

namespace {

HeightCurve face(double half, const std::function<double(double)>& h) {
  HeightCurve c(-half, half, 0.5e-3);
  for (int i = 0; i < c.size(); ++i) {
    const double u = c.offset(i);
    c.height[i] = h(u);
    c.slope[i] = (h(u + 1e-7) - h(u - 1e-7)) / 2e-7;
  }
  return c;
}

HeightCurve raised_cosine(double crown, double width) {
  return face(width / 2, [=](double u) { return std::abs(u) >= width / 2 ? 0.0 : 0.5 * crown * (1 + std::cos(2 * pi * u / width)); });
}

double read(const HeightCurve& c, Held held, double length, double middle = 0) { return read_rule(c, held, length, middle).gap; }

}  // namespace

TEST_CASE("one joint reads differently by how the rule is held") {
  // a crown of 1.0 mm over 560 mm: level over the joint a 450 mm rule stands 1.0 − ½(1 + cos(π·225/280)) = 0.908 mm off at its
  // ends. Tipped about the very top it would stand 1.82 mm off on one side. But a rounded top is no pivot: the rule rolls down
  // the flank until it lies along the face at u = −97.5 mm, where h′ = 4.998 mrad is the slope from its end
  // ((0.7295 − 0.0921) mm / 127.5 mm), and stands 450 mm · 4.998 mrad = 2.25 mm off
  const HeightCurve crown = raised_cosine(1.0e-3, 0.560);
  CHECK(read(crown, Held::balanced, 0.450) == Approx(0.908e-3).margin(1e-6));
  CHECK(read(crown, Held::rocked, 0.450) >= 1.816e-3);
  CHECK(read(crown, Held::rocked, 0.450) == Approx(2.25e-3).margin(5e-6));
  // on a sharp top of the same fall it is twice the balanced reading, 1.82 mm
  const HeightCurve sharp = face(0.280, [](double u) { return 0.908e-3 * (1 - std::abs(u) / 0.225); });
  CHECK(read(sharp, Held::balanced, 0.450) == Approx(0.908e-3).margin(1e-6));
  CHECK(read(sharp, Held::rocked, 0.450) == Approx(1.816e-3).margin(1e-6));
  CHECK(read(crown, Held::feet, 0.450) == Approx(0.908e-3).margin(1e-6));
  CHECK(read(crown, Held::bridging, 0.450) < 2e-6);  // nothing hollow under its middle
  // 1.4 mm over 900 mm reads 1.4·(1 − ½) = 0.70, because the rule never reaches the board
  CHECK(read(raised_cosine(1.4e-3, 0.900), Held::balanced, 0.450) == Approx(0.700e-3).margin(1e-6));
  // so "0.8 mm under 450 mm" is several joints: these crowns and widths (mm) all read 0.8 balanced
  for (const double width : {0.35, 0.45, 0.56, 0.7, 0.9}) {
    const double fall = width <= 0.45 ? 1 : 0.5 * (1 - std::cos(2 * pi * 0.225 / width));
    CHECK(read(raised_cosine(0.8e-3 / fall, width), Held::balanced, 0.450) == Approx(0.8e-3).margin(2e-6));
  }
  CHECK(0.8 / (0.5 * (1 - std::cos(2 * pi * 0.225 / 0.9))) == Approx(1.6));  // the widest has twice the crown of the narrowest
}

TEST_CASE("a rule bridges a hollow and rides on a crown") {
  const HeightCurve hollow = raised_cosine(-1.0e-3, 0.200), crown = raised_cosine(1.0e-3, 0.200);
  for (const Held held : {Held::balanced, Held::bridging, Held::feet}) CHECK(read(hollow, held, 0.400) == Approx(1.0e-3).margin(1e-6));
  CHECK(read(hollow, Held::rocked, 0.400) == Approx(1.0e-3).margin(1e-6));
  CHECK(read(crown, Held::balanced, 0.400) == Approx(1.0e-3).margin(1e-6));
  CHECK(read(crown, Held::bridging, 0.400) < 2e-6);
  // a tent of 1 mm over 275 mm a side falls 100/275 mm in half a 200 mm rule
  const HeightCurve tent = face(0.275, [](double u) { return 1e-3 * (1 - std::abs(u) / 0.275); });
  CHECK(read(tent, Held::balanced, 0.200) == Approx(0.1e-3 / 0.275).margin(1e-6));
  CHECK(read(tent, Held::rocked, 0.200) == Approx(0.2e-3 / 0.275).margin(1e-6));
  // a step of 0.4 mm over 2 mm
  const HeightCurve step = face(0.1, [](double u) { return 0.4e-3 * std::clamp((u + 1e-3) / 2e-3, 0.0, 1.0); });
  CHECK(read(step, Held::step, 0.005) == Approx(0.4e-3));
  // on a bare face nothing is read
  for (const Held held : {Held::balanced, Held::rocked, Held::bridging, Held::feet, Held::step}) CHECK(read(HeightCurve(), held, 0.2) == 0);
  // the rule is found where it reads most
  const HeightCurve beside = face(0.4, [](double u) { return std::abs(u - 0.15) >= 0.1 ? 0.0 : 0.5e-3 * (1 + std::cos(2 * pi * (u - 0.15) / 0.2)); });
  const RuleReading worst = worst_rule(beside, Held::balanced, 0.2, -0.3, 0.3);
  CHECK(worst.gap == Approx(1.0e-3).margin(1e-6));
  CHECK(worst.from + 0.1 == Approx(0.15).margin(1.5e-3));
}

TEST_CASE("readings against brute force on random faces") {
  test::Validated found("straightedge, each way of holding it", "brute force on 40 random faces", "2e-6 m; tipped and bridging 6e-6", " m");
  Random random(7);
  for (int round = 0; round < 40; ++round) {
    double a[5];
    for (double& x : a) x = random.uniform(-1e-3, 1e-3);
    const double half = random.uniform(0.1, 0.3);
    const HeightCurve c = face(half, [&](double u) {
      const double t = u / half;
      return std::abs(t) >= 1 ? 0.0 : (1 - t * t) * (1 - t * t) * (a[0] + a[1] * t + a[2] * std::cos(6 * t) + a[3] * std::sin(9 * t) + 0.2 * a[4] * std::cos(20 * t));
    });
    const double length = random.uniform(0.1, 0.45), middle = random.uniform(-half, half);
    constexpr int n = 3000;
    std::vector<double> x(n + 1), h(n + 1);
    for (int i = 0; i <= n; ++i) {
      x[i] = length * i / n;
      h[i] = c.height_at(middle - length / 2 + x[i]);
    }
    // the lowest line of a slope that clears the face, by its height at the left end
    const auto rest = [&](double m) {
      double lift = -1;
      for (int i = 0; i <= n; ++i) lift = std::max(lift, h[i] - m * x[i]);
      return lift;
    };
    const auto gap = [&](double at_left, double m) {
      double g = 0;
      for (int i = 0; i <= n; ++i) g = std::max(g, at_left + m * x[i] - h[i]);
      return g;
    };
    // curvatures under 16 per m (0.2 mm · (20 / 100 mm)²·…), read every millimetre or finer: 2 micrometres between samples
    const double margin = 2e-6;
    const double level = (h[n] - h[0]) / length;
    CHECK(found.near(read(c, Held::balanced, length, middle), gap(rest(level), level)) == Approx(gap(rest(level), level)).margin(margin));
    double off = 0;
    for (int i = 0; i <= n; ++i) off = std::max(off, std::abs(h[i] - h[0] - level * x[i]));
    CHECK(found.near(read(c, Held::feet, length, middle), off) == Approx(off).margin(margin));
    // tipping: turn the resting rule by bisection until an end comes down; the steeper it rises, the lower its left end
    const auto tipped = [&](bool left) {
      double lo = -0.5, hi = 0.5;
      for (int i = 0; i < 60; ++i) {
        const double m = 0.5 * (lo + hi), stands = left ? rest(m) - h[0] : rest(m) + m * length - h[n];
        // an end on a rounded place is down when the rule lies along the face there
        const double tangent = c.slope_at(middle + (left ? -0.5 : 0.5) * length);
        (left == (stands > 1e-12 || (left ? m < tangent : m > tangent)) ? lo : hi) = m;
      }
      const double m = left ? hi : lo;
      return gap(rest(m), m);
    };
    CHECK(found.near(read(c, Held::rocked, length, middle), std::max(tipped(true), tipped(false))) == Approx(std::max(tipped(true), tipped(false))).margin(3 * margin));
    // left to itself it sinks as low as it can at its middle: a convex function of its slope
    double lo = -0.5, hi = 0.5;
    for (int i = 0; i < 100; ++i) {
      const double p = lo + (hi - lo) / 3, q = hi - (hi - lo) / 3;
      (rest(p) + p * length / 2 < rest(q) + q * length / 2 ? hi : lo) = rest(p) + p * length / 2 < rest(q) + q * length / 2 ? q : p;
    }
    const double m = 0.5 * (lo + hi), at_left = rest(m);
    // between the contacts either side of the middle
    int left = 0, right = n;
    for (int i = 0; i <= n; ++i) {
      const bool touches = at_left + m * x[i] - h[i] < 2e-8;
      if (touches && 2 * i <= n) left = i;
      if (touches && 2 * i >= n && right == n) right = i;
    }
    double g = 0;
    for (int i = left; i <= right; ++i) g = std::max(g, at_left + m * x[i] - h[i]);
    const double bridged = read(c, Held::bridging, length, middle);
    // on a crown the rule rolls within a millimetre of samples: there the two sample differently and read next to nothing
    CHECK(bridged == Approx(g).margin(g < 3e-6 || bridged < 3e-6 ? 6e-6 : 3 * margin));
  }
}

TEST_CASE("the published limits of six countries, each with its ground") {
  test::Validated found("published tolerances", "reference/trade.md 2.1, and the short rows of 2.2 with their confidence", "every row");
  // docs/reference/trade.md 2.1 (every row with a figure at the joint) and the rows of 2.2 up to a 2 m rule on board
  struct Row { const char* id; const char* country; double gap, base; const char* confidence; };
  for (const Row& row : {Row{"UK-450", "UK", 3, 450, "V2"}, Row{"UK-external-angle", "UK", 4, 450, "V2"}, Row{"UK-internal-angle", "UK", 5, 450, "V2"},
                         Row{"UK-homes", "UK", 3, 450, "V"}, Row{"FR-200", "FR", 1, 200, "V2"}, Row{"FR-plaster", "FR", 1, 200, "V"},
                         Row{"BE-normal", "BE", 1.5, 200, "V"}, Row{"BE-special", "BE", 1, 200, "V"}, Row{"NL-400", "NL", 1, 400, "V2"},
                         Row{"NL-corner-A", "NL", 2, 400, "V2"}, Row{"NL-corner-B", "NL", 3, 400, "V2"}, Row{"EU-200", "DE", 1, 200, "V2"},
                         Row{"EU-2000", "DE", 4, 2000, "V2"}, Row{"CN-step", "CN", 1, 5, "M"}, Row{"CN-2000", "CN", 3, 2000, "M"},
                         Row{"DE-line-6", "DE", 3, 100, "V"}, Row{"DE-line-7", "DE", 2, 100, "V"}, Row{"DE-line-6-1000", "DE", 5, 1000, "V"},
                         Row{"DE-line-7-1000", "DE", 3, 1000, "V"}, Row{"BE-2000-normal", "BE", 4, 2000, "V"}, Row{"FR-2000", "FR", 5, 2000, "V2"}}) {
    const auto l = std::find_if(limits().begin(), limits().end(), [&](const Limit& x) { return x.id == row.id; });
    INFO(row.id);
    REQUIRE(l != limits().end());
    CHECK(l->country == row.country);
    CHECK(l->gap == Approx(row.gap * 1e-3));
    CHECK(l->base == Approx(row.base * 1e-3));
    CHECK(l->ground.confidence == row.confidence);
    CHECK_FALSE(l->ground.source.empty());
  }
  CHECK(limits().size() == 21);
  std::set<std::string> countries;
  for (const Limit& l : limits())
    if (l.applies != "other" && l.applies.find("corner") == l.applies.npos) countries.insert(l.country);
  for (const Silence& s : silent_documents()) countries.insert(s.country);
  CHECK(countries == std::set<std::string>{"BE", "CN", "DE", "FR", "NL", "UK", "US"});
  // "at most" takes the figure itself, "less than" does not
  const auto named = [](const char* id) { return *std::find_if(limits().begin(), limits().end(), [&](const Limit& x) { return x.id == id; }); };
  CHECK(named("FR-200").allows(1e-3));
  CHECK_FALSE(named("FR-200").allows(1.01e-3));
  CHECK_FALSE(named("NL-400").allows(1e-3));
  CHECK(named("NL-400").allows(0.99e-3));
}
