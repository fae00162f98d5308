// Pairs of patches of two faces that lie alike. Patches stand in regular grids; where an axis of one grid runs along an axis of the
// other in steps of the same length, moving both patches by a step moves nothing between them. So what a wall's patches send to
// the floor's is worked out once for every distance along the wall, and of 1.4 million pairs in a room some 100,000 are left.
#pragma once
#include <cstddef>
#include <vector>

#include "light/basis.h"

namespace rakelight {

class AlikePairs {
 public:
  /// Of faces a and b of a room, which differ.
  AlikePairs(const Room& room, const LightBasis& basis, int a, int b);
  /// Kinds of pairs.
  std::size_t count() const { return count_; }
  /// The kind of patches i and j of the two faces, counted from their grids' first. Only whole patches (LightBasis::whole) lie as
  /// their kind does.
  std::size_t kind(std::size_t i, std::size_t j) const { return static_cast<std::size_t>(from_a_[i] + from_b_[j]); }
  /// A pair of that kind, whole whatever stands there in the room.
  struct Pair { Patch a, b; };
  Pair example(std::size_t kind) const;

 private:
  struct Face { dvec3 corner, u, v, n; int surface, nx, ny; };
  /// One number of a kind: steps along an axis of either face or of both.
  struct Axis { int a = -1, b = -1, sign = 1, size = 1, stride = 1; };
  static Face face_of(const Room& room, const LightBasis& basis, int surface);
  static Patch patch_at(const Face& face, int column, int row);

  Face a_, b_;
  std::vector<Axis> axes_;
  std::vector<std::ptrdiff_t> from_a_, from_b_;
  std::size_t count_ = 1;
};

}  // namespace rakelight
