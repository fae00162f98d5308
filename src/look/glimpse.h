// Quick looks at a joint all along it, to find where it is worth a full one.
#pragma once
#include <cstddef>
#include <vector>

#include "look/joint_looks.h"

namespace rakelight {

/// What a quick look makes of a joint at one place: how far facets at the section's middle differ from the flat face.
struct Glimpse {
  double contrast = 0;        ///< largest |L/L_flat − 1| of those as steep as the section's steepest rise and fall, and of one as high as its top
  double ending = 0;          ///< of one as steep as the joint is along itself, where its end dies
  double flat_luminance = 0;  ///< cd/m²; 0: not in sight
};

/// Glimpses of one joint at every moment of a set, by several eyes, from many stations. Lamps, sun and window glass are taken at
/// every station, with what the relief hides left out; other smooth light and the room's sheen, which change slowly, at anchors
/// some 0.25 m apart and in proportion between. First every anchor is prepared, then every station looked at; each of
/// either may be worked on by a thread of its own. Set, room and relief must outlive it.
class JointGlimpses {
 public:
  /// `stations`: distances along the joint, m, ascending; `eyes` in plan axes.
  JointGlimpses(const SceneSet& set, const Room& room, int surface, const PlacedJoint& joint, std::vector<double> stations, std::vector<dvec3> eyes);
  std::size_t anchors() const { return anchors_.size(); }
  void prepare(std::size_t anchor);
  const std::vector<double>& stations() const { return stations_; }
  void look(std::size_t station);
  const Glimpse& at(std::size_t moment, std::size_t eye, std::size_t station) const { return glimpses_[index(moment, eye, station)]; }

 private:
  struct Anchor {
    double at = 0;
    std::vector<dvec4> smooth;  ///< per moment: E_x, E_y, E_n, divergence
    std::vector<double> room;   ///< sheen of the room's faces, per eye, facet and moment, cd/m²
  };
  std::size_t index(std::size_t moment, std::size_t eye, std::size_t station) const {
    return (moment * eyes_.size() + eye) * stations_.size() + station;
  }
  dvec2 place(double station) const { return joint_.line.from + station * joint_.line.along(); }

  const SceneSet& set_;
  const Room& room_;
  int surface_;
  const PlacedJoint& joint_;
  std::vector<double> stations_;
  std::vector<dvec3> eyes_;
  std::vector<dvec2> slopes_;        ///< of the facets; the flat one first
  double highest_ = 0;               ///< of the section, either way, m
  bool over_compound_ = false;       ///< whether faces look otherwise there at some moment
  std::vector<Anchor> anchors_;
  std::vector<Glimpse> glimpses_;
};

}  // namespace rakelight
