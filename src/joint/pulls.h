// The bare joint, and one coat laid on it as a list of blade pulls (physics 1.1).
#pragma once
#include <string>
#include <vector>

#include "joint/curve.h"
#include "joint/joint.h"

namespace rakelight {

/// One sheet's edge as hung, m, by the distance x from the joint: dips to `depth` at the joint over `width` in a straight
/// line, its shoulder rounded over `shoulder` on either side; and a groove of its own beside the joint, straight as a
/// chamfer or round as a nose (a parabola).
struct EdgeShape { double depth = 0, width = 0, shoulder = 0, groove_depth = 0, groove_width = 0; bool round = false; };
/// Of a recipe's kind, on its left or right.
EdgeShape edge_shape(const Recipe& recipe, bool left);

/// Adds the bare joint between sheets to a flat curve: the two edges (dips scaled down where `left` or `right`, the room
/// on that side, is less), and faces that differ by `step`, half below and half above zero, over a 2 mm arris.
void add_bare_joint(HeightCurve& h, const Recipe& recipe, double step, double left, double right);
/// Adds a bead fixed at offset 0 whose nose stands `nose` proud: round, then its flange on the board.
void add_bead(HeightCurve& h, double nose);
/// Adds the dimple round a fixing at offset 0.
void add_dimple(HeightCurve& h);

/// One pull of a blade over [from, to] (offsets, m): the chord over its two rests + flex (1 − t²), t from −1 to 1.
struct Pull {
  double from = 0, to = 0;
  double rest_from = 0, rest_to = 0;   ///< heights of the blade's ends
  double flex = 0;                     ///< rise over the chord at mid-blade; negative: pressed hollow
  bool press_from = false, press_to = false;  ///< pressed outer edge: the last 15 % blends to zero slope; else a break
};

/// How much of a pull a pressed edge blends.
inline constexpr double pressed_share = 0.15;

/// Where the blade's edge runs: height and slope at an offset inside the pull.
struct BladePoint { double height = 0, slope = 0; };
BladePoint blade_at(const Pull& pull, double u);

/// A coat: wet = max(before, lowest of the blades that pass a point), since a later pull scrapes off what stands
/// above its blade; dried = before + (1 − shrinkage)(wet − before). Points that no pull passes stay as before.
struct Coat { HeightCurve wet, dried; };
Coat lay_coat(const HeightCurve& before, const std::vector<Pull>& pulls, double shrinkage);

/// The pulls of a coat from −left to right (m) whose top comes to `top`: one pull where a single blade owned reaches
/// across (and `sides` does not ask otherwise), else each side off the centre, past it by a tenth of the width, in
/// as many passes as the longest blade needs. `before`: the surface the outer edges rest on.
std::vector<Pull> plan_coat(const HeightCurve& before, double left, double right, double top, bool sides, bool pressed,
                            const std::vector<double>& tools);

/// The pulls of a coat from an edge at offset 0, where its top is, to `right`: out of a corner, or off a bead's nose.
std::vector<Pull> plan_one_sided(const HeightCurve& before, double right, double top, bool pressed, const std::vector<double>& tools);

/// Lap marks of a coat's pulls: a Gaussian ridge at each free end inside the coat; at an outer edge it stands two
/// widths in from the feather, and half as high where the edge is pressed (estimates).
/// `one_sided`: the end at offset 0 runs along a corner or a nose and leaves none.
void add_laps(HeightCurve& h, const std::vector<Pull>& pulls, double ridge, double width, bool one_sided = false);

}  // namespace rakelight
