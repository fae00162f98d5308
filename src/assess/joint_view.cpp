#include "assess/joint_view.h"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <limits>

#include "assess/looks.h"
#include "base/units.h"
#include "light/parallel.h"

namespace rakelight {
namespace {

// below this nothing is seen by any of the models used here; it also keeps unlit faces out of divisions
constexpr double darkest = 1e-4;  // cd/m²

// A profile as one viewer sees it.
AngularPattern pattern_of(const JointSetting& s, int joint, int moment, int viewer, const ContrastProfile& profile) {
  const JointLine& line = s.relief.joints[static_cast<std::size_t>(joint)].line;
  const Frame& frame = s.frame();
  const dvec3 eye = s.eye(viewer);
  const auto imaged = [&](dvec2 from, dvec2 to) {
    return angle_between(frame.world_from_surface(from), frame.world_from_surface(to), eye) * deg_per_rad;
  };
  AngularPattern pattern = angular_pattern(profile, line, frame, eye, degrees_per_sample);
  pattern.luminance = profile.flat_luminance + s.veil(moment, viewer, profile.at);
  pattern.share = pattern.luminance > 0 ? profile.flat_luminance / pattern.luminance : 0;
  pattern.grain = grain_of(s.study.paints[static_cast<std::size_t>(s.surface)], profile, line, frame, eye);
  // a spot is as long as it is wide
  const dvec2 half = 0.5 * s.relief.joints[static_cast<std::size_t>(joint)].section.width() * line.along(), at = line.from + profile.station * line.along();
  pattern.length_deg = line.spots.empty() ? imaged(line.from, line.to) : imaged(at - half, at + half);
  return pattern;
}

double raw_visibility(const ContrastProfile& profile, const AngularPattern& pattern) {
  return profile.flat_luminance > darkest ? pattern_visibility(pattern, {0, 0, 0, 0}) : 0;
}

// The station at which one viewer sees a joint best at one moment.
Look best_look(const JointSetting& s, const LookTask& task, std::vector<ContrastProfile>& profiles) {
  const VerdictSpec& rules = s.study.job.verdict;
  Look best;
  for (ContrastProfile& profile : profiles) {
    AngularPattern pattern = pattern_of(s, task.joint, task.moment, task.viewer, profile);
    const double raw = raw_visibility(profile, pattern);
    assert(std::isfinite(raw));
    best.along.push_back({profile.station, raw});
    if (raw <= best.raw) continue;
    best.raw = raw;
    best.pattern = std::move(pattern);
    best.profile = std::move(profile);
    best.profile.change = {};
  }
  if (best.raw < 0) return best;
  Seen& seen = best.seen;
  seen.raking_ratio = best.profile.raking_ratio;
  seen.across_ratio = best.profile.across_ratio;
  seen.contrast = best.profile.peak;
  seen.shade = best.profile.shade;
  seen.threshold = best.raw > 0 ? std::abs(best.profile.peak) / (best.raw * *rules.gain) : std::numeric_limits<double>::infinity();
  seen.station = best.profile.station;
  seen.offset = best.profile.peak_offset;
  seen.flat_luminance = best.profile.flat_luminance;
  seen.veil = best.pattern.luminance - best.profile.flat_luminance;
  seen.moment = task.moment;
  seen.viewer = task.viewer;
  seen.judged = judge(best.raw, *rules.gain, *rules.band, *rules.faint, *rules.shows);
  return best;
}

}  // namespace

double JointSetting::veil(int moment, int viewer, dvec3 at) const {
  return veil_at(glare[static_cast<std::size_t>(moment)][static_cast<std::size_t>(viewer)], eye(viewer), at, *study.job.verdict.age);
}

JointSetting make_setting(const Study& study, int surface, const std::vector<Relief>& reliefs, const std::vector<std::pair<int, int>>& pairs) {
  JointSetting s{study, surface, reliefs[static_cast<std::size_t>(surface)], {}, {}, std::vector<int>(study.moments.size(), -1), {}, {}, {}};
  s.cells.resize(s.relief.joints.size());
  s.glare.assign(study.moments.size(), std::vector<std::vector<GlareSource>>(study.viewers.size()));
  std::vector<std::pair<int, int>> dazzled = pairs;
  std::sort(dazzled.begin(), dazzled.end());
  dazzled.erase(std::unique(dazzled.begin(), dazzled.end()), dazzled.end());
  for (const auto& pair : dazzled) {
    int& index = s.index[static_cast<std::size_t>(pair.first)];
    if (index >= 0) continue;
    index = static_cast<int>(s.moments.size());
    s.moments.push_back(pair.first);
  }
  s.scenes.resize(s.moments.size());
  for_each_index(static_cast<int>(s.moments.size()), [&](int i) {
    s.scenes[static_cast<std::size_t>(i)] = make_scene(study.room, study.lighting[s.moments[static_cast<std::size_t>(i)]], reliefs, study.paints);
  });
  for_each_index(static_cast<int>(dazzled.size()), [&](int i) {
    const auto [moment, viewer] = dazzled[static_cast<std::size_t>(i)];
    s.glare[moment][viewer] = glare_sources(study.lighting[moment], study.viewers[viewer].eye);
  });
  if (s.moments.empty()) return s;
  std::vector<const Scene*> scenes;
  std::vector<const Lighting*> lightings;
  for (std::size_t i = 0; i < s.moments.size(); ++i) {
    scenes.push_back(&s.scenes[i]);
    lightings.push_back(&study.lighting[s.moments[i]]);
  }
  s.set = SceneSet(std::move(scenes), std::move(lightings));
  return s;
}

// Joints are taken some at a time, enough for any number of threads: their cells are large.
std::vector<Look> look_at_all(const JointSetting& s, const std::vector<LookTask>& tasks) {
  constexpr std::size_t most_joints = 24;
  std::vector<Look> looks(tasks.size());
  struct Batch { int joint; std::vector<std::size_t> tasks; std::vector<LookWanted> wanted; };
  std::vector<Batch> batches;
  for (std::size_t t = 0; t < tasks.size(); ++t) {
    const LookTask& task = tasks[t];
    if (batches.empty() || batches.back().joint != task.joint) batches.push_back({task.joint, {}, {}});
    batches.back().tasks.push_back(t);
    batches.back().wanted.push_back({static_cast<std::size_t>(s.index[task.moment]), s.eye(task.viewer), task.stations});
  }
  for (std::size_t first = 0; first < batches.size(); first += most_joints) {
    const std::size_t last = std::min(batches.size(), first + most_joints);
    std::vector<JointLooks> joints;
    struct Part { std::size_t joint, part; };
    std::vector<Part> stations, eyes;
    for (std::size_t b = first; b < last; ++b) {
      joints.emplace_back(s.set, s.study.room, s.surface, s.relief, batches[b].joint, batches[b].wanted, s.cells.empty() ? nullptr : &s.cells[static_cast<std::size_t>(batches[b].joint)]);
      for (std::size_t i = 0; i < joints.back().stations(); ++i) stations.push_back({b, i});
      for (std::size_t e = 0; e < joints.back().eyes(); ++e) eyes.push_back({b, e});
    }
    for_each_index(static_cast<int>(stations.size()), [&](int i) { joints[stations[i].joint - first].prepare(stations[i].part); });
    for_each_index(static_cast<int>(eyes.size()), [&](int i) {
      const Batch& batch = batches[eyes[i].joint];
      const JointLooks& joint = joints[eyes[i].joint - first];
      auto profiles = joint.look_from(eyes[i].part);
      const auto& own = joint.looks_of(eyes[i].part);
      for (std::size_t l = 0; l < own.size(); ++l) {
        const std::size_t task = batch.tasks[own[l]];
        looks[task] = best_look(s, tasks[task], profiles[l]);
      }
    });
  }
  return looks;
}

std::optional<Banded> banded_visibility(const Study& study, const JointLine& line, const Frame& frame, const AngularPattern& pattern,
                                        const ContrastProfile& profile, const Seen& seen) {
  if (profile.band.empty()) return std::nullopt;
  const VerdictSpec& rules = study.job.verdict;
  const auto judged = [&](const std::vector<double>& contrast) {
    ContrastProfile part = profile;
    part.contrast = contrast;
    AngularPattern alone = pattern;
    alone.contrast = angular_pattern(part, line, frame, study.viewers[seen.viewer].eye, degrees_per_sample).contrast;
    return judge(pattern_visibility(alone, {0, 0, 0, 0}), *rules.gain, *rules.band, *rules.faint, *rules.shows);
  };
  std::vector<double> relief = profile.contrast;
  Banded out;
  for (std::size_t i = 0; i < relief.size(); ++i) {
    const double band = profile.band[i];
    relief[i] -= band;
    if (std::abs(band) > std::abs(out.contrast)) out.contrast = band;
  }
  if (out.contrast == 0) return std::nullopt;
  out.relief = judged(relief);
  out.band = judged(profile.band);
  return out;
}

}  // namespace rakelight
