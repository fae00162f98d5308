// What a rule laid across a joint reads, and the published limits that it is read against.
#pragma once
#include <string>
#include <vector>

#include "joint/curve.h"
#include "joint/level.h"

namespace rakelight {

/// How a rule is held, its middle over a given place. All distances are between rule and face, square to the rule.
enum class Held {
  balanced,   ///< on its edge, level: both ends equally far from the face; on a crown it rides on the top
  rocked,     ///< on its edge, tipped to one side until that end comes down on the face; the side that reads more
  bridging,   ///< on its edge, left to itself: it rests on the two high places either side of its middle
  feet,       ///< on equal feet at both ends: how far the face departs from the line between the feet, up or down
  step        ///< no rule, a feeler: the rise of the face from one end of the length to the other
};
std::string held_text(Held held);

/// The largest gap, where it is, and where the rule's left end is; offsets of the curve, m.
struct RuleReading { double gap = 0, at = 0, from = 0; };

/// Reads a rule of `length` (m, >= 2 mm) with its middle at offset `middle`. The curve is compared every `sample` (m) or
/// 200th of the length, whichever is finer; outside it the face is flat and zero. Feet stand clear of the crown.
RuleReading read_rule(const HeightCurve& face, Held held, double length, double middle, double sample = 1e-3);
/// The reading with the largest gap, the middle slid from `lo` to `hi` in steps of 1/200 of the length, at least 1 mm.
RuleReading worst_rule(const HeightCurve& face, Held held, double length, double lo, double hi, double sample = 1e-3);

/// A published limit: assets/schemes/tolerances.toml.
struct Limit {
  std::string id, country, text;
  double gap = 0, base = 0;            ///< m
  bool below = false;                  ///< the reading must stay under `gap`, not at most reach it
  Held held = Held::balanced;
  std::string applies;                 ///< recessed | joint | face | corner | internal-corner | external-corner | other (printed to compare, never judged)
  Ground ground;
  bool allows(double reading) const;   ///< a micrometre of rounding is no breach
};
/// All of them, and what documents that set none say. Throws std::logic_error when the embedded file is broken.
const std::vector<Limit>& limits();
struct Silence { std::string country, text; Ground ground; };
const std::vector<Silence>& silent_documents();

}  // namespace rakelight
