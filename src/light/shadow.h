// What the inner corners of a non-convex room hide from a point. The room is a prism, so a corner's shadow is bounded by
// one upright plane, and a patch is seen whole, not at all, or in part where such a plane crosses it.
#pragma once
#include <vector>

#include "base/vec.h"
#include "room/room.h"

namespace rakelight {

class Shadows {
 public:
  enum class Seen { none, part, whole };
  /// A corner beyond which part of the room is hidden; side: +1 where the left of the line to it is lit, else -1.
  struct Edge { dvec2 corner, end; double side; };

  /// In a convex room nothing is hidden.
  Shadows(const Room& room, dvec3 p);

  /// What is seen of a parallelogram that lies upright or level, and in part behind which edge.
  Seen of(dvec3 corner, dvec3 u, dvec3 v, const Edge** crossed) const;
  bool sees(dvec3 q) const { return room_->convex || room_->sees(p_, q); }

 private:
  const Room* room_;
  dvec3 p_;
  std::vector<Edge> edges_;
};

/// Normal of the upright plane through a point and a shadow's corner, towards the lit side.
inline dvec3 lit_side(const Shadows::Edge& edge, dvec3 from) {
  const dvec2 d = edge.corner - dvec2(from);
  return edge.side * dvec3(-d.y, d.x, 0);
}

}  // namespace rakelight
