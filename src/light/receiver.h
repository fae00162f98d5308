// A receiving point, and what stands between it and another.
#pragma once
#include "base/vec.h"
#include "room/room.h"

namespace rakelight {

/// A point of a face: world position, the face's normal, and the window in whose recess it lies (-1: in the room).
struct Receiver {
  dvec3 p{0}, n{0, 0, 1};
  int window = -1;
  bool outdoors = false;   ///< on the glass of `window`, looking out
};

/// Whether two points see each other; either may lie in a window's recess and then looks out through the opening.
bool open_between(const Room& room, dvec3 a, int a_window, dvec3 b, int b_window);

/// A point of a surface moved off its edges (1 mm), where light from the next face is not defined, and into its
/// outline when it lies outside.
dvec2 settled(const Surface& surface, dvec2 p);

}  // namespace rakelight
