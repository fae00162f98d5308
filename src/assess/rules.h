// Rules that a finished joint is held under, each laid once whoever asks for its reading.
#pragma once
#include <map>
#include <utility>
#include <vector>

#include "assess/assess.h"

namespace rakelight {

/// How a rule is held, and its length, m.
using RuleKey = std::pair<Held, double>;
using LaidRules = std::map<RuleKey, RuleReading>;

/// Those that read_straightedge and, of joints between sheets, read_rules want, each once.
std::vector<RuleKey> rules_wanted(JointKind kind);
RuleReading lay_rule(const Section& section, JointKind kind, const RuleKey& key);
/// Of rules_wanted; `laid` has them all.
std::vector<StraightedgeReading> read_straightedge(const LaidRules& laid, JointKind kind, const Level& level);
std::vector<RuleReadings> read_rules(const Section& section, const LaidRules& laid);

}  // namespace rakelight
