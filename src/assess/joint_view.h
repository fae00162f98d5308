// One joint as one viewer has it at one moment: what many looks have in common, and how a profile becomes V.
#pragma once
#include <array>
#include <memory>
#include <optional>
#include <utility>
#include <vector>

#include "assess/angle.h"
#include "assess/assess.h"
#include "look/joint_looks.h"

namespace rakelight {

/// Everything about a surface that does not change from joint to joint.
struct JointSetting {
  const Study& study;
  int surface = 0;
  const Relief& relief;
  std::vector<Scene> scenes;             ///< of the moments that are looked at
  std::vector<int> moments;              ///< theirs
  std::vector<int> index;                ///< of a moment of the study among them; -1: not looked at
  SceneSet set;                          ///< of those scenes
  std::vector<std::vector<std::vector<GlareSource>>> glare;  ///< [moment][viewer]
  /// Of each joint, from the first look at it on; two threads never look at one joint at a time.
  mutable std::vector<std::shared_ptr<const JointCells>> cells = {};
  const Frame& frame() const { return study.room.surfaces[static_cast<std::size_t>(surface)].frame; }
  const dvec3& eye(int viewer) const { return study.viewers[static_cast<std::size_t>(viewer)].eye; }
  /// Of a viewer's gaze at a point, cd/m².
  double veil(int moment, int viewer, dvec3 at) const;
};
/// For looks by those pairs of moment and viewer. `reliefs` must outlive it.
JointSetting make_setting(const Study& study, int surface, const std::vector<Relief>& reliefs, const std::vector<std::pair<int, int>>& pairs);

/// One viewer's looks at one joint at one moment. Tasks of one joint follow one another.
struct LookTask {
  int joint = 0, moment = 0, viewer = 0;
  std::vector<double> stations;
};

/// The best of a task's looks.
struct Look {
  Seen seen;
  double raw = -1;          ///< V at gain 1; -1: none of the stations is in sight
  AngularPattern pattern;
  ContrastProfile profile;  ///< without its derivatives; with its raking
  std::vector<std::array<double, 2>> along;  ///< station and V at gain 1 of every look
};
std::vector<Look> look_at_all(const JointSetting& setting, const std::vector<LookTask>& tasks);

/// A joint's look by its relief alone and by its band alone; none where paint is alike on paper and compound.
std::optional<Banded> banded_visibility(const Study& study, const JointLine& line, const Frame& frame, const AngularPattern& pattern,
                                        const ContrastProfile& profile, const Seen& seen);

}  // namespace rakelight
