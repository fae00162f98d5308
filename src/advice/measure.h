// A joint that was measured on site: is it in tolerance, will it show, what cures it, and how to look at it (physics 1.4, 5).
#pragma once
#include <optional>
#include <string>
#include <vector>

#include "advice/cures.h"
#include "joint/fit.h"

namespace rakelight {

/// A gap under a rule: `base` long, laid over the joint's middle. Over a crown the rule is balanced on its top and the gap
/// is at its ends; over a hollow it bridges and the gap is in the middle. m.
struct RuleGap { double gap = 0, base = 0; bool hollow = false; };

/// How well a gap is read with a feeler gauge, standard deviation, m (an estimate).
inline constexpr double feeler_sd = 0.05e-3;

/// The crown with which a joint of this make has the gap. Empty when no crown from −5 to 10 mm gives it, or gap or base is no
/// number or too small.
std::optional<double> crown_from_gap(const PlacedJoint& joint, const RuleGap& gap);

/// The section that a gap speaks for: this joint's make with that crown. Its uncertainty: the feeler's, and, because a
/// joint's width is known to a fifth at best, what the crown would be were it a fifth narrower or wider; both together. A rule
/// shorter than the joint never reaches the board, so that there the second is most of it.
std::optional<FittedSection> section_from_gap(const PlacedJoint& joint, const RuleGap& gap);

/// What is seen of the joint from some of the places to stand.
struct SeenFrom {
  bool seen = false;
  Judged judged, low, high;            ///< of the section as measured, and with its crown one standard deviation less and more
  double chance = 0;                   ///< that it shows, over what was measured and what is not known of eyes
  double across = 0;                   ///< ratio of the light across it
  std::string moment, viewer;
};

/// How to hold a lamp so that it shows what the worst daylight will.
struct LampHold {
  bool found = false;
  std::string moment, viewer;          ///< the worst daylight, and from where it is seen
  double across = 0, visibility = 0;   ///< light across the joint, and V, then
  dvec3 at{0};                         ///< the lamp, plan axes, m
  dvec2 joint_at{0};                   ///< the place on the joint, in the face's frame, m
  double along = 0, off = 0;           ///< from there along the face, and off the face, m
  std::string side;                    ///< "left", "right", "above", "below" as one faces the wall; on a ceiling as on plan
  double lamp_across = 0, lamp_visibility = 0;  ///< what it comes to, in the dark
};

struct Measured {
  int surface = 0;
  JointLine line;
  std::shared_ptr<const FittedSection> fit;
  std::optional<RuleGap> gap;          ///< it came from; empty: from points across
  bool rule_too_short = false;         ///< shorter than the joint is wide
  double width = 0;                    ///< m
  std::vector<StraightedgeReading> straightedge;
  std::vector<RuleReadings> rules;
  SeenFrom inspection, living;         ///< square on at 2 m (less where the room is), and from every other place
  double aim = 0;                      ///< for this joint alone: the job's chance
  bool needed = false;
  Outcome now;
  std::vector<Cure> cures;             ///< the least work first; then, each alone, what else was looked at
  double with_fine_marks = 0;          ///< V living in the room were the lap marks and tape edges there that readings so far apart
                                       ///< cannot show, as these hands usually leave them; 0: they would show
  LampHold lamp;
  std::vector<std::string> reasons;    ///< in words with their numbers
};

/// Judges one joint between sheets of a studied job with the section that was measured on it, by itself: other joints are
/// left out. Precondition: `line` is of the study's layout of `surface` and joins sheets.
Measured measure_joint(const Study& study, int surface, const JointLine& line, const FittedSection& section, const std::optional<RuleGap>& gap = {});

/// When to check, for people.
std::string when_to_check();

}  // namespace rakelight
