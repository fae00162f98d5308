// Many looks at one joint that share what they have in common.
#pragma once
#include <memory>
#include <vector>

#include "look/look.h"

namespace rakelight {

/// Of a set's room what rays into it are measured against: its faces as the kernels read them off the table, the same at every
/// moment.
struct RoomShape {
  struct Face {
    dvec3 origin{0}, x{0}, y{0};           ///< of its frame
    dvec2 lo{0}, size{0};                  ///< m, box of its patches
    double along_x = 0, along_y = 0;       ///< patches
    int nx = 0, ny = 0;
    std::size_t first = 0;                 ///< patch, counted from the set's first
  };
  std::vector<Face> faces;
  std::vector<dvec2> corner, edge;         ///< per wall: where it begins, and from there to its end
  double height = 0;
  int ceiling = 0, floor = 0;
  bool convex = false;
};

/// Scenes of one room at several moments, alike but for their light, ready to be looked at together. What it is made of must
/// outlive it.
struct SceneSet {
  std::vector<const Scene*> scenes;
  std::vector<const Lighting*> lightings;
  RoomShape room;
  std::vector<double> mean_radiance;     ///< of the room's faces at each moment, cd/m²
  std::vector<double> exitance;          ///< per patch: exitance at each moment, then as blurred at each moment, lm/m²; either padded with 0 to a multiple of four
  SceneSet() = default;
  /// Precondition: as many of either, at least one; all of one room, with the same reliefs and paints.
  SceneSet(std::vector<const Scene*> all, std::vector<const Lighting*> lit);
};

/// One look at a joint: at a moment of a set (its index there), from an eye in plan axes, at distances along the joint, m.
struct LookWanted {
  std::size_t moment = 0;
  dvec3 eye{0};
  std::vector<double> stations;
};

class JointCells;

/// Contrast across one joint by many looks, which share what they have in common: the relief of a station, its light at a
/// moment, the rays of an eye. First every station is prepared, then every eye looks; each of either may be worked on by a
/// thread of its own. Set, room and relief must outlive it.
class JointLooks {
 public:
  /// `known`: what a joint's cells have in common, to be kept for the next looks at it; empty at first.
  JointLooks(const SceneSet& set, const Room& room, int surface, const Relief& relief, int joint, std::vector<LookWanted> wanted,
             std::shared_ptr<const JointCells>* known = nullptr);
  ~JointLooks();
  JointLooks(JointLooks&&) noexcept;
  std::size_t stations() const;
  void prepare(std::size_t station);
  std::size_t eyes() const;
  /// Which looks an eye has a part in.
  const std::vector<std::size_t>& looks_of(std::size_t eye) const;
  /// Their profiles, in the order of looks_of: one per station in sight. Precondition: every station is prepared.
  std::vector<std::vector<ContrastProfile>> look_from(std::size_t eye) const;

 private:
  struct State;
  std::unique_ptr<State> state_;
};

}  // namespace rakelight
