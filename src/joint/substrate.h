// The face that framing gives the sheets, before any joint is filled (physics 1.3).
#pragma once
#include <optional>
#include <string>
#include <vector>

#include "base/vec.h"
#include "board/board.h"
#include "job/job.h"

namespace rakelight {

/// Sheets bent over members of one spacing. Members run along y when `upright`, spaced along x; else the other way round.
/// The members' heights are over the plane that they should stand in, m; the surface's shape is
/// shaders/kernels/substrate.glsl's.
struct Substrate {
  bool upright = true;
  double first = 0, spacing = 0;       ///< offset of member 0 and centre to centre, m
  double from = 0, span = 0;           ///< the members' lower end and length, m
  double sag = 0;                      ///< of the sheet between two members, m
  struct Member { double off = 0, off_slope = 0, bow = 0, bow_slope = 0; };  ///< slopes: of the splines through all
  std::vector<Member> members;         ///< at least two
};

struct SubstratePoint { double h = 0; dvec2 slope{0}; };
/// Height and gradient at a point of the surface, m and m/m.
SubstratePoint substrate_at(const Substrate& substrate, dvec2 p);
/// The steepest slope anywhere, at the inside of the bays and along the members.
double steepest(const Substrate& substrate);

/// Puts in the slopes of the natural cubic splines through the members' offs and bows.
void bend(Substrate& substrate);

/// The largest gap under a rule of `base` laid across the members at a quarter, half and three quarters of their length,
/// or along one of them.
double flatness_gap(const Substrate& substrate, double base);

/// Framing that just keeps to the job's flatness: members off their plane and bowed by chance (the draw depends on the
/// surface's name alone), scaled until the largest gap under the job's rule is the job's gap. On walls members run as
/// [framing] says, on ceilings across the sheets. Empty when the job has no [framing] or the surface is not boarded.
std::optional<Substrate> make_substrate(const Job& job, const Surface& surface, Run run);

/// The members of a face, all in their plane: on walls as [framing] says, on ceilings across the sheets.
Substrate straight_members(const Job& job, const Surface& surface, Run run);

/// One member in the middle standing proud by `height` among straight ones.
Substrate proud_member(double height, double spacing, int members);

}  // namespace rakelight
