#include "joint/substrate.h"

#include <algorithm>
#include <cmath>

#include "base/random.h"
#include "joint/straightedge.h"
#include "kernel/substrate.h"

namespace rakelight {
namespace {

constexpr double bow_share = 0.5;   // of a member's bow against its offset: an estimate
constexpr double sample = 0.01;     // m: members are hundreds of millimetres apart

/// Slopes of the natural cubic spline through values one step of `spacing` apart.
std::vector<double> spline_slopes(const std::vector<double>& v, double spacing) {
  const std::size_t n = v.size();
  // m0·2 + m1 = 3 (v1 − v0), m(k−1) + 4 m(k) + m(k+1) = 3 (v(k+1) − v(k−1)), m(n−2) + 2 m(n−1) = 3 (v(n−1) − v(n−2))
  std::vector<double> upper(n), right(n);
  for (std::size_t i = 0; i < n; ++i) {
    const bool end = i == 0 || i + 1 == n;
    const double rhs = 3 * (v[std::min(i + 1, n - 1)] - v[i == 0 ? 0 : i - 1]) / spacing;
    const double below = i == 0 ? 0 : 1, pivot = (end ? 2 : 4) - (i == 0 ? 0 : below * upper[i - 1]);
    upper[i] = 1 / pivot;
    right[i] = (rhs - (i == 0 ? 0 : right[i - 1])) / pivot;
  }
  for (std::size_t i = n - 1; i-- > 0;) right[i] -= upper[i] * right[i + 1];
  return right;
}

dvec4 row(const Substrate::Member& m) { return {m.off, m.off_slope, m.bow, m.bow_slope}; }

double gap_across(const Substrate& s, double along, double base) {
  const double length = s.spacing * static_cast<double>(s.members.size() - 1);
  HeightCurve line(0, length, sample);
  for (int i = 0; i < line.size(); ++i) {
    const double u = s.first + std::min(line.offset(i), length), v = s.from + along * s.span;
    const SubstratePoint p = substrate_at(s, s.upright ? dvec2(u, v) : dvec2(v, u));
    line.height[i] = p.h;
    line.slope[i] = s.upright ? p.slope.x : p.slope.y;
  }
  base = std::min(base, length);
  return worst_rule(line, Held::bridging, base, 0.5 * base, length - 0.5 * base, sample).gap;
}

/// The same draw for the same name on every machine.
std::uint64_t seed_of(const std::string& name) {
  std::uint64_t hash = 14695981039346656037ull;  // FNV-1a
  for (const char c : name) hash = (hash ^ static_cast<unsigned char>(c)) * 1099511628211ull;
  return hash;
}

}  // namespace

void bend(Substrate& s) {
  std::vector<double> off, bow;
  for (const auto& m : s.members) {
    off.push_back(m.off);
    bow.push_back(m.bow);
  }
  off = spline_slopes(off, s.spacing);
  bow = spline_slopes(bow, s.spacing);
  for (std::size_t i = 0; i < s.members.size(); ++i) {
    s.members[i].off_slope = off[i];
    s.members[i].bow_slope = bow[i];
  }
}

SubstratePoint substrate_at(const Substrate& s, dvec2 p) {
  const double across = ((s.upright ? p.x : p.y) - s.first) / s.spacing, along = std::clamp(((s.upright ? p.y : p.x) - s.from) / s.span, 0.0, 1.0);
  const int bay = std::clamp(static_cast<int>(std::floor(across)), 0, static_cast<int>(s.members.size()) - 2);
  const kernel::Undulation u = kernel::substrate_between(row(s.members[bay]), row(s.members[bay + 1]), s.spacing,
                                                         std::clamp(across - bay, 0.0, 1.0), along, s.span, s.sag);
  return {u.height, s.upright ? dvec2(u.across, u.along) : dvec2(u.along, u.across)};
}

double steepest(const Substrate& s) {
  double most = 0;
  constexpr int parts = 8;
  for (std::size_t bay = 0; bay + 1 < s.members.size(); ++bay)
    for (int i = 0; i <= parts; ++i)
      for (int j = 0; j <= parts; ++j) {
        const double u = s.first + s.spacing * (static_cast<double>(bay) + static_cast<double>(i) / parts), v = s.from + s.span * j / parts;
        most = std::max(most, glm::length(substrate_at(s, s.upright ? dvec2(u, v) : dvec2(v, u)).slope));
      }
  return most;
}

double flatness_gap(const Substrate& s, double base) {
  double gap = 0;
  for (const double along : {0.25, 0.5, 0.75}) gap = std::max(gap, gap_across(s, along, base));
  const double share = std::min(1.0, base / s.span);
  for (const auto& m : s.members) gap = std::max(gap, std::abs(m.bow) * share * share);
  return gap;
}

Substrate straight_members(const Job& job, const Surface& surface, Run run) {
  Substrate s;
  const bool ceiling = surface.kind == Surface::Kind::ceiling;
  s.upright = ceiling ? run == Run::horizontal : *job.framing.direction == "upright";
  const Rect& box = surface.box;
  s.spacing = *job.framing.spacing;
  // a first bay of its own width: the members' raster begins before the corner
  const double before = job.framing.first.given ? s.spacing - std::min(*job.framing.first, s.spacing) : 0;
  s.first = (s.upright ? box.lo.x : box.lo.y) - before;
  s.from = s.upright ? box.lo.y : box.lo.x;
  s.span = s.upright ? box.height() : box.width();
  const double width = (s.upright ? box.width() : box.height()) + before;
  s.members.resize(static_cast<std::size_t>(std::ceil(width / s.spacing - 1e-9)) + 1);
  return s;
}

std::optional<Substrate> make_substrate(const Job& job, const Surface& surface, Run run) {
  if (!job.framing.at.known() || surface.spec < 0) return std::nullopt;
  Substrate s = straight_members(job, surface, run);
  Random random(seed_of(surface.name));
  for (auto& m : s.members) {
    m.off = random.uniform(-1, 1);
    m.bow = bow_share * random.uniform(-1, 1);
  }
  bend(s);
  const dvec2 flatness = *job.framing.flatness;
  const double scale = flatness.x / flatness_gap(s, flatness.y);
  for (auto& m : s.members) {
    m.off *= scale;
    m.bow *= scale;
  }
  bend(s);
  return s;
}

Substrate proud_member(double height, double spacing, int members) {
  Substrate s;
  s.spacing = spacing;
  s.span = 2.4;
  s.members.resize(static_cast<std::size_t>(members));
  s.members[static_cast<std::size_t>(members / 2)].off = height;
  bend(s);
  return s;
}

}  // namespace rakelight
