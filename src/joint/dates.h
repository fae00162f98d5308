// The second date: what may have moved after the first heating season (physics 1.3). A risk, never a promise.
#pragma once
#include <string>
#include <vector>

#include "joint/joint.h"

namespace rakelight {

/// One thing that may move: what people read, what helps, and its ground.
struct Movement { std::string text, cure; Ground ground; };

struct Season {
  double usual_peak = 0, bad_peak = 0, peak_width = 0;  ///< of the ridge along a joint's centre, m
  double backed_share = 1;             ///< what is left of it over a board glued behind
  Movement peaking, pops, sag, truss_lift;
};
/// assets/schemes/season.toml. Throws std::logic_error when that is broken.
const Season& season();

/// A section that has peaked: a ridge of height `peak` and full width `width` at offset 0, straight flanks with a top rounded
/// over a quarter of the width.
Section peaked(Section section, double peak, double width);
/// All joints between sheets of a relief peaked by `peak`; `backed`: boards are glued behind the long ones.
Relief peaked(Relief relief, double peak, bool backed);

}  // namespace rakelight
