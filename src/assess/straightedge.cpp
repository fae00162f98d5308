// Rules on a finished joint, against what is published.
#include <algorithm>
#include <map>

#include "assess/assess.h"

namespace rakelight {
namespace {

/// Corners whose filling the published limits for angles are about; a shadow line is none.
bool inside_corner(JointKind kind) { return kind == JointKind::internal_corner || kind == JointKind::square_set; }
bool outside_corner(JointKind kind) { return kind == JointKind::external_corner || kind == JointKind::bead; }

bool applies(const Limit& limit, JointKind kind) {
  if (!joins_sheets(kind))
    return (limit.applies == "corner" && (inside_corner(kind) || outside_corner(kind))) || (limit.applies == "internal-corner" && inside_corner(kind)) ||
           (limit.applies == "external-corner" && outside_corner(kind));
  const bool tapered = kind == JointKind::recessed || kind == JointKind::half_round;
  return limit.applies == "joint" || limit.applies == "face" || (limit.applies == "recessed" && tapered);
}

RuleReading read(const HeightCurve& face, const Section& section, JointKind kind, Held held, double base) {
  // out of the corner along the face
  if (!joins_sheets(kind)) return read_rule(face, held, base, section.first + base / 2);
  // feet are set either side of the joint
  return held == Held::feet ? read_rule(face, held, base, 0) : worst_rule(face, held, base, section.left, section.right);
}

}  // namespace

HeightCurve face_of(const Section& section) {
  HeightCurve c;
  c.first = section.first;
  c.step = section.step;
  c.height = section.height;
  c.slope = section.slope;
  return c;
}

std::vector<StraightedgeReading> read_straightedge(const Section& section, JointKind kind, const Level& level) {
  const HeightCurve face = face_of(section);
  std::map<std::pair<Held, double>, double> gaps;
  std::vector<StraightedgeReading> readings;
  for (const Limit& limit : limits()) {
    if (!applies(limit, kind)) continue;
    auto [gap, fresh] = gaps.try_emplace({limit.held, limit.base});
    if (fresh) gap->second = read(face, section, kind, limit.held, limit.base).gap;
    const bool own = std::find(level.tolerances.begin(), level.tolerances.end(), limit.id) != level.tolerances.end();
    readings.push_back({&limit, gap->second, limit.allows(gap->second), own});
  }
  return readings;
}

std::vector<RuleReadings> read_rules(const Section& section) {
  const HeightCurve face = face_of(section);
  std::vector<RuleReadings> rules;
  for (const double base : {0.200, 0.400, 0.450}) {
    const RuleReading balanced = worst_rule(face, Held::balanced, base, section.left, section.right);
    rules.push_back({base, balanced.gap, read_rule(face, Held::rocked, base, balanced.from + base / 2).gap,
                     worst_rule(face, Held::bridging, base, section.left, section.right).gap, read_rule(face, Held::feet, base, 0).gap});
  }
  return rules;
}

std::optional<bool> JointResult::in_tolerance(bool own_only) const {
  std::optional<bool> in;
  for (const StraightedgeReading& r : straightedge)
    if (r.own || !own_only) in = in.value_or(true) && r.ok;
  return in;
}

}  // namespace rakelight
