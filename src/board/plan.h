// A face's sheets as they are to be hung: layout, framing, blocks behind joints, and where it breaks a rule.
#pragma once
#include <string>
#include <vector>

#include "board/framing.h"
#include "board/rows.h"
#include "board/rules.h"

namespace rakelight {

/// A piece behind a joint: "board behind" sprung ends, a "noggin" between members, a "back block" over a long joint.
struct Block { Rect at; std::string what; };

/// A straight gap through the face by design, with a bead of its own: a control or a movement joint.
struct BreakLine { dvec2 from{0}, to{0}; };

struct Plan {
  int surface = 0;
  Way way;
  Layout layout;
  Framing framing;
  std::vector<Block> blocks;
  std::vector<BreakLine> breaks;
  std::vector<Breach> breaches;
};

/// The plan of a way of laying. Precondition: boarded.
Plan plan_of(const Job& job, const Room& room, int surface, const Way& way);

/// Every breach of a rule in a layout, rule by rule in their order (rules()). Lifting and turns are judged where the job has [access].
std::vector<Breach> breaches_of(const Job& job, const Room& room, int surface, const Way& way, const Layout& layout);

/// How many breaches are not allowed by the job.
int forbidden(const std::vector<Breach>& breaches);

}  // namespace rakelight
