// Rules on a finished joint, against what is published.
#include <algorithm>

#include "assess/rules.h"

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

constexpr double rule_lengths[] = {0.200, 0.400, 0.450};  // m

LaidRules lay_all(const Section& section, JointKind kind) {
  LaidRules laid;
  for (const RuleKey& key : rules_wanted(kind)) laid.emplace(key, lay_rule(section, kind, key));
  return laid;
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

std::vector<RuleKey> rules_wanted(JointKind kind) {
  LaidRules wanted;
  for (const Limit& limit : limits())
    if (applies(limit, kind)) wanted[{limit.held, limit.base}];
  if (joins_sheets(kind))
    for (const double base : rule_lengths)
      for (const Held held : {Held::balanced, Held::bridging, Held::feet}) wanted[{held, base}];
  std::vector<RuleKey> keys;
  for (const auto& [key, reading] : wanted) keys.push_back(key);
  return keys;
}

RuleReading lay_rule(const Section& section, JointKind kind, const RuleKey& key) {
  const auto [held, base] = key;
  const HeightCurve face = face_of(section);
  // out of the corner along the face
  if (!joins_sheets(kind)) return read_rule(face, held, base, section.first + base / 2);
  // feet are set either side of the joint
  return held == Held::feet ? read_rule(face, held, base, 0) : worst_rule(face, held, base, section.left, section.right);
}

std::vector<StraightedgeReading> read_straightedge(const LaidRules& laid, JointKind kind, const Level& level) {
  std::vector<StraightedgeReading> readings;
  for (const Limit& limit : limits()) {
    if (!applies(limit, kind)) continue;
    const double gap = laid.at({limit.held, limit.base}).gap;
    const bool own = std::find(level.tolerances.begin(), level.tolerances.end(), limit.id) != level.tolerances.end();
    readings.push_back({&limit, gap, limit.allows(gap), own});
  }
  return readings;
}

std::vector<StraightedgeReading> read_straightedge(const Section& section, JointKind kind, const Level& level) { return read_straightedge(lay_all(section, kind), kind, level); }

std::vector<RuleReadings> read_rules(const Section& section, const LaidRules& laid) {
  const HeightCurve face = face_of(section);
  std::vector<RuleReadings> rules;
  for (const double base : rule_lengths) {
    const RuleReading& balanced = laid.at({Held::balanced, base});
    rules.push_back({base, balanced.gap, read_rule(face, Held::rocked, base, balanced.from + base / 2).gap, laid.at({Held::bridging, base}).gap,
                     laid.at({Held::feet, base}).gap});
  }
  return rules;
}

std::vector<RuleReadings> read_rules(const Section& section) { return read_rules(section, lay_all(section, JointKind::butt)); }

std::optional<bool> JointResult::in_tolerance(bool own_only) const {
  std::optional<bool> in;
  for (const StraightedgeReading& r : straightedge)
    if (r.own || !own_only) in = in.value_or(true) && r.ok;
  return in;
}

}  // namespace rakelight
