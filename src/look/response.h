// What a point of a face sends to one eye, and how that answers to a small slope across a joint: contrast is
// slope × change / flat to first order. For sweeps over many moments; contrast_across is the exact form.
#pragma once
#include <array>
#include <vector>

#include "kernel/scene.h"
#include "light/outside.h"
#include "look/joint_looks.h"
#include "look/look.h"

namespace rakelight {

/// cd/m² of the flat face, and its change per unit of slope across the joint.
struct SlopeLight {
  double flat = 0, change = 0;
  SlopeLight& operator+=(const SlopeLight& o) { flat += o.flat; change += o.change; return *this; }
  friend SlopeLight operator*(double s, const SlopeLight& l) { return {s * l.flat, s * l.change}; }
};

/// One part of a window's glass as a point sees it: the direction in which it is looked through, plan axes.
struct GlassShare { dvec3 towards{0}; kernel::SceneKernels::GlassPart part; int window = 0; };
/// Luminance behind it, cd/m²: `near` of its window. Of ground the house's shadow takes a share that grows as its reach passes the
/// part, or the few parts would jump.
double luminance_beyond(const GlassShare& share, const NearOutside& near, const kernel::Outside& outside);
/// All parts of the windows in sight of a point; what they send changes with the luminance behind them alone.
std::vector<GlassShare> glass_shares(const Scene& scene, int surface, dvec2 p);

/// One eye's view of one point. Relief hides nothing here: a slope that stands above low light is taken as if it did not.
class EyeView {
 public:
  /// across: unit, in the face; slopes are positive where the face rises along it. The scene need not outlive the view.
  EyeView(const Scene& scene, int surface, dvec2 p, dvec2 across, dvec3 eye);
  /// The base under smooth light, the room's and the windows' (lx in the face's frame).
  SlopeLight base(const LightVector& smooth) const;
  /// All that smooth light adds besides, by a scene of its moment: sheen, and what the base makes of its direction.
  SlopeLight sheen(const Scene& scene) const;
  /// The same under each scene of a set, one answer each: rays are followed once. Precondition: all is black outside the windows.
  void sheens(const SceneSet& set, SlopeLight* answers) const;
  /// That of the glass alone, per cd/m² outside it. `unlit`: the scene with no light in the room.
  SlopeLight glass(const Scene& unlit, const GlassShare& share) const;
  /// Sheen of an even surround of that exitance, lm/m².
  SlopeLight even_sheen(double exitance) const;
  /// The sun: `towards` in plan axes, `beam` lx square to it after glass and edges.
  SlopeLight sun(dvec3 towards, double beam) const;

 private:
  kernel::SceneKernels::Place place_;
  std::array<kernel::SceneKernels::FacetAxes, 3> facet_;  ///< flat, and sloped a little either way
  dvec2 across_;
};

/// A joint's slopes across a station: a ContrastProfile whose `contrast` holds slopes (cell averages), laid out as
/// contrast_across lays out its own.
ContrastProfile slope_profile(const Scene& scene, int surface, const PlacedJoint& joint, double station);

}  // namespace rakelight
