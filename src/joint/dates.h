// The second date: what may have moved after the first heating season (physics 1.3). A risk, never a promise.
#pragma once
#include <string>
#include <vector>

#include "joint/joint.h"

namespace rakelight {

/// One thing that may move: by how much (m), what people read, what helps, and its ground.
struct Movement { double usual = 0, bad = 0; std::string text, cure; Ground ground; };

struct Season {
  double peak_width = 0;               ///< of the ridge along a joint's centre, m
  double backed_share = 1;             ///< what is left of it over a board glued behind
  double pop_width = 0;                ///< of the bump over a fixing's head, m
  double sag_spacing = 0;              ///< of the members that the sag is given for, m
  Movement peaking, pops, sag, truss_lift;
};
/// assets/schemes/season.toml. Throws std::logic_error when that is broken.
const Season& season();

/// A section that has peaked: a ridge of height `peak` and full width `width` at offset 0, straight flanks with a top rounded
/// over a quarter of the width.
Section peaked(Section section, double peak, double width);
/// All joints between sheets of a relief peaked by `peak`, all fixings filled one by one popped by `pop`, m; `backed`: boards
/// are glued behind the long joints.
Relief moved(Relief relief, double peak, double pop, bool backed);

/// A ceiling that was plane, its sheets sagged by `sag` between members season().sag_spacing apart; members as make_substrate
/// has them, at the job's spacing or its default.
Substrate sagged(const Job& job, const Surface& ceiling, Run run, double sag);
/// The same ceiling lifted by `lift` (m) except at the two walls: in even bays from wall to wall, two at least, none wider than
/// the job's spacing.
Substrate lifted(const Job& job, const Surface& ceiling, Run run, double lift);

}  // namespace rakelight
