// The light of a room whose windows are covered otherwise.
#pragma once
#include "light/light.h"

namespace rakelight {

/// The basis of a room that differs from `basis`'s in the covers of its windows alone, without field grids: what faces exchange is
/// taken from there, which saves most of the time. The job's lamps are where they were.
std::shared_ptr<const LightBasis> with_covers(const Job& job, const Room& room, const LightBasis& basis);

}  // namespace rakelight
