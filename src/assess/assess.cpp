// Every joint of a surface, at every moment, from every place where somebody stands.
#include "assess/assess.h"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <limits>
#include <optional>

#include "assess/angle.h"
#include "assess/framing.h"
#include "assess/hands.h"
#include "assess/looks.h"
#include "base/long_work.h"
#include "base/units.h"
#include "joint/dates.h"
#include "light/parallel.h"
#include "look/joint_looks.h"

namespace rakelight {
namespace {

// below this nothing is seen by any of the models used here; it also keeps unlit faces out of divisions
constexpr double darkest = 1e-4;  // cd/m²

// Everything that does not change from joint to joint.
struct Setting {
  const Study& study;
  int surface;
  const Relief& relief;
  std::vector<Scene> scenes;             // of the moments that are looked at
  std::vector<int> index;                // of a moment of the study among them; -1: not looked at
  SceneSet set;                          // of those scenes
  std::vector<std::vector<std::vector<GlareSource>>> glare;  // [moment][viewer]
};

// What is looked at together: one joint at one moment. Tasks of one joint follow one another.
struct Task {
  int joint = 0, moment = 0;
  std::vector<int> viewers;
  std::vector<double> stations;
};

struct Look {
  Seen seen;
  double raw = -1;          // V at gain 1
  AngularPattern pattern;   // of the station seen best
  ContrastProfile profile;  // of it, without its derivatives; with its raking
};

// A profile as one viewer sees it.
AngularPattern pattern_of(const Setting& s, int joint, int moment, int viewer, const ContrastProfile& profile) {
  const JointLine& line = s.relief.joints[joint].line;
  const Frame& frame = s.study.room.surfaces[s.surface].frame;
  const dvec3 eye = s.study.viewers[viewer].eye;
  const auto imaged = [&](dvec2 from, dvec2 to) {
    return angle_between(frame.world_from_surface(from), frame.world_from_surface(to), eye) * deg_per_rad;
  };
  AngularPattern pattern = angular_pattern(profile, line, frame, eye, degrees_per_sample);
  pattern.luminance = profile.flat_luminance + veil_at(s.glare[moment][viewer], eye, profile.at, *s.study.job.verdict.age);
  pattern.share = pattern.luminance > 0 ? profile.flat_luminance / pattern.luminance : 0;
  pattern.grain = grain_of(s.study.paints[s.surface], profile, line, frame, eye);
  // a spot is as long as it is wide
  const dvec2 half = 0.5 * s.relief.joints[joint].section.width() * line.along(), at = line.from + profile.station * line.along();
  pattern.length_deg = line.spots.empty() ? imaged(line.from, line.to) : imaged(at - half, at + half);
  return pattern;
}

double raw_visibility(const ContrastProfile& profile, const AngularPattern& pattern) {
  return profile.flat_luminance > darkest ? pattern_visibility(pattern, {0, 0, 0, 0}) : 0;
}

// The station at which one viewer sees a joint best at one moment.
Look best_look(const Setting& s, int joint, int moment, int viewer, const std::vector<ContrastProfile>& profiles) {
  const VerdictSpec& rules = s.study.job.verdict;
  Look best;
  for (const auto& profile : profiles) {
    AngularPattern pattern = pattern_of(s, joint, moment, viewer, profile);
    const double raw = raw_visibility(profile, pattern);
    assert(std::isfinite(raw));
    if (raw <= best.raw) continue;
    best.raw = raw;
    best.pattern = std::move(pattern);
    best.profile = profile;
    best.profile.change = {};
    Seen& seen = best.seen;
    seen.raking_ratio = profile.raking_ratio;
    seen.across_ratio = profile.across_ratio;
    seen.contrast = profile.peak;
    seen.threshold = raw > 0 ? std::abs(profile.peak) / (raw * *rules.gain) : std::numeric_limits<double>::infinity();
    seen.station = profile.station;
    seen.offset = profile.peak_offset;
    seen.flat_luminance = profile.flat_luminance;
    seen.veil = best.pattern.luminance - profile.flat_luminance;
  }
  if (best.raw < 0) return best;
  best.seen.moment = moment;
  best.seen.viewer = viewer;
  best.seen.judged = judge(best.raw, *rules.gain, *rules.band, *rules.faint, *rules.shows);
  return best;
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

Setting make_setting(const Study& study, int surface, const std::vector<Relief>& reliefs, const std::vector<Task>& tasks) {
  Setting s{study, surface, reliefs[surface], {}, std::vector<int>(study.moments.size(), -1), {}, {}};
  s.glare.assign(study.moments.size(), std::vector<std::vector<GlareSource>>(study.viewers.size()));
  std::vector<std::vector<bool>> known(study.moments.size(), std::vector<bool>(study.viewers.size()));
  std::vector<int> moments;
  std::vector<std::pair<int, int>> dazzled;
  for (const Task& task : tasks) {
    int& index = s.index[static_cast<std::size_t>(task.moment)];
    if (index < 0) {
      index = static_cast<int>(moments.size());
      moments.push_back(task.moment);
    }
    for (const int v : task.viewers) {
      if (!known[task.moment][v]) dazzled.emplace_back(task.moment, v);
      known[task.moment][v] = true;
    }
  }
  s.scenes.resize(moments.size());
  for_each_index(static_cast<int>(moments.size()), [&](int i) { s.scenes[i] = make_scene(study.room, study.lighting[moments[i]], reliefs, study.paints); });
  for_each_index(static_cast<int>(dazzled.size()), [&](int i) {
    const auto [moment, viewer] = dazzled[i];
    s.glare[moment][viewer] = glare_sources(study.lighting[moment], study.viewers[viewer].eye);
  });
  if (moments.empty()) return s;
  std::vector<const Scene*> scenes;
  std::vector<const Lighting*> lightings;
  for (std::size_t i = 0; i < moments.size(); ++i) {
    scenes.push_back(&s.scenes[i]);
    lightings.push_back(&study.lighting[moments[i]]);
  }
  s.set = SceneSet(std::move(scenes), std::move(lightings));
  return s;
}

// All tasks' looks, viewer by viewer. Joints are taken some at a time, enough for any number of threads: their cells are
// large.
std::vector<std::vector<Look>> look_at_all(const Setting& s, const std::vector<Task>& tasks) {
  constexpr std::size_t most_joints = 24;
  std::vector<std::vector<Look>> looks(tasks.size());
  struct Place { std::size_t task, viewer; };
  struct Batch { int joint; std::vector<Place> places; std::vector<LookWanted> wanted; };
  std::vector<Batch> batches;
  for (std::size_t t = 0; t < tasks.size(); ++t) {
    const Task& task = tasks[t];
    looks[t].resize(task.viewers.size());
    if (batches.empty() || batches.back().joint != task.joint) batches.push_back({task.joint, {}, {}});
    for (std::size_t v = 0; v < task.viewers.size(); ++v) {
      batches.back().places.push_back({t, v});
      batches.back().wanted.push_back({static_cast<std::size_t>(s.index[task.moment]), s.study.viewers[task.viewers[v]].eye, task.stations});
    }
  }
  for (std::size_t first = 0; first < batches.size(); first += most_joints) {
    const std::size_t last = std::min(batches.size(), first + most_joints);
    std::vector<JointLooks> joints;
    struct Part { std::size_t joint, part; };
    std::vector<Part> stations, eyes;
    for (std::size_t b = first; b < last; ++b) {
      joints.emplace_back(s.set, s.study.room, s.surface, s.relief, batches[b].joint, batches[b].wanted);
      for (std::size_t i = 0; i < joints.back().stations(); ++i) stations.push_back({b, i});
      for (std::size_t e = 0; e < joints.back().eyes(); ++e) eyes.push_back({b, e});
    }
    for_each_index(static_cast<int>(stations.size()), [&](int i) { joints[stations[i].joint - first].prepare(stations[i].part); });
    for_each_index(static_cast<int>(eyes.size()), [&](int i) {
      const Batch& batch = batches[eyes[i].joint];
      const JointLooks& joint = joints[eyes[i].joint - first];
      const auto moment_of = [&](std::size_t look) { return tasks[batch.places[look].task].moment; };
      const auto viewer_of = [&](std::size_t look) { return tasks[batch.places[look].task].viewers[batch.places[look].viewer]; };
      const auto profiles = joint.look_from(eyes[i].part, [&](const ContrastProfile& rough, std::size_t look) {
        return raw_visibility(rough, pattern_of(s, batch.joint, moment_of(look), viewer_of(look), rough));
      });
      const auto& own = joint.looks_of(eyes[i].part);
      for (std::size_t l = 0; l < own.size(); ++l)
        looks[batch.places[own[l]].task][batch.places[own[l]].viewer] = best_look(s, batch.joint, moment_of(own[l]), viewer_of(own[l]), profiles[l]);
    });
  }
  return looks;
}

// The first joint of the same kind and section, itself at the latest.
const JointResult& first_alike(const std::vector<JointResult>& joints, const JointResult& r) {
  return *std::find_if(joints.begin(), joints.end(), [&](const JointResult& o) {
    return o.joint.line.kind == r.joint.line.kind && o.joint.section.height == r.joint.section.height;
  });
}

// Many joints are finished alike; each section is measured once.
void lay_rules(std::vector<JointResult>& joints) {
  for_each_index(static_cast<int>(joints.size()), [&](int i) {
    JointResult& r = joints[i];
    if (&first_alike(joints, r) != &r) return;
    r.straightedge = read_straightedge(r.joint.section, r.joint.line.kind, r.joint.recipe.level);
    if (joins_sheets(r.joint.line.kind)) r.rules = read_rules(r.joint.section);
  });
  for (JointResult& r : joints) {
    if (!r.straightedge.empty()) continue;
    const JointResult& twin = first_alike(joints, r);
    r.straightedge = twin.straightedge;
    r.rules = twin.rules;
  }
}

}  // namespace

const JointResult* SurfaceResult::worst() const {
  const JointResult* worst = nullptr;
  for (const auto& joint : joints) {
    if (joint.worst < 0) continue;
    const auto v = [](const JointResult& j) { return j.seen[j.worst].judged.visibility; };
    if (!worst || v(joint) > v(*worst)) worst = &joint;
  }
  return worst;
}

namespace {

// What has moved: joints' peaks and fixings' pops, m, and faces to look at the joints over.
struct Moved { double peak = 0, pop = 0; std::vector<Substrate> faces; };

// `tasks_of(relief)` lists what to look at, joint by joint.
template <class TasksOf>
SurfaceResult judged_surface(const Study& study, int surface, const Finish& finish, const Moved& by, bool with_framing, bool with_spreads, const Relief* made, TasksOf&& tasks_of) {
  SurfaceResult result;
  result.surface = surface;
  result.finish = finish;
  result.layout = finished_layout(study, surface, finish);
  std::vector<Relief> reliefs(study.room.surfaces.size());
  const BackingSpec backing = *study.job.surfaces[study.room.surfaces[surface].spec].backing;
  reliefs[surface] = moved(made ? *made : finished_relief(study, result.layout, surface, finish), by.peak, by.pop, backing == BackingSpec::recessed || backing == BackingSpec::both);
  if (with_framing) result.substrate = make_substrate(study.job, study.room.surfaces[surface], study.layouts[surface].run);
  const Relief& relief = reliefs[surface];
  const int joints = static_cast<int>(relief.joints.size());

  const std::vector<Task> tasks = tasks_of(relief);
  const Setting setting = make_setting(study, surface, reliefs, tasks);
  const std::vector<std::vector<Look>> looks = look_at_all(setting, tasks);

  result.joints.resize(static_cast<std::size_t>(joints));
  const VerdictSpec& rules = study.job.verdict;
  const GainSpread gain{*rules.gain, *rules.band};
  for_each_index(joints, [&](int j) {
    JointResult& r = result.joints[j];
    r.joint = relief.joints[j];
    r.crown = r.joint.section.crown;
    r.width = r.joint.section.width();
    const Look* worst = nullptr;
    for (std::size_t i = 0; i < tasks.size(); ++i) {
      if (tasks[i].joint != j) continue;
      for (const Look& look : looks[i]) {
        if (look.raw < 0) continue;
        if (!worst || look.raw > worst->raw) {
          worst = &look;
          r.worst = static_cast<int>(r.seen.size());
        }
        r.seen.push_back(look.seen);
      }
    }
    if (!worst || !with_spreads) return;
    if (worst->raw > 0) r.spread = workmanship_spread(worst->pattern, r.joint);
    r.chance_shows = chance_over(r.spread, gain, *rules.shows);
    r.banding = banded_visibility(study, r.joint.line, study.room.surfaces[surface].frame, worst->pattern, worst->profile, worst->seen);
    const auto over = [&](const Substrate& face) {
      return framed_visibility(study, surface, r.joint, face, worst->profile, worst->seen.moment, study.viewers[worst->seen.viewer].eye, worst->seen.veil);
    };
    if (result.substrate) r.framing = over(*result.substrate);
    for (const Substrate& face : by.faces) r.over.push_back(over(face));
  });
  std::vector<const std::vector<double>*> spreads;
  for (const auto& joint : result.joints)
    if (!joint.spread.empty()) spreads.push_back(&joint.spread);
  result.chance_any_shows = chance_any_over(spreads, gain, *rules.shows);
  return result;
}

}  // namespace

SurfaceResult assess_surface(const Study& study, int surface, const Finish& finish, const std::vector<int>& moments) {
  std::vector<int> looked_at = moments;
  if (looked_at.empty())
    for (int m = 0; m < static_cast<int>(study.moments.size()); ++m) looked_at.push_back(m);
  SurfaceResult result = judged_surface(study, surface, finish, {}, true, true, nullptr, [&](const Relief& relief) {
    std::vector<Task> tasks;
    for (int j = 0; j < static_cast<int>(relief.joints.size()); ++j)
      for (const int m : looked_at)
        tasks.push_back({j, m, viewers_of(study, surface), stations_of(relief.joints[j].line)});
    return tasks;
  });
  lay_rules(result.joints);
  return result;
}

namespace {

SurfaceResult looked_at_again(const Study& study, int surface, const Finish& finish, const std::vector<std::vector<Focus>>& focus, const Moved& by,
                              bool spreads = true, const Relief* made = nullptr) {
  return judged_surface(study, surface, finish, by, false, spreads, made, [&](const Relief& relief) {
    assert(relief.joints.size() == focus.size());
    std::vector<Task> tasks;
    for (int j = 0; j < static_cast<int>(relief.joints.size()); ++j)
      for (const Focus& f : focus[j]) tasks.push_back({j, f.moment, {f.viewer}, {f.station}});
    return tasks;
  });
}

Moved moved_by(const Study& study, const SurfaceResult& result, double Movement::*how_far) {
  const Season& s = season();
  Moved by{s.peaking.*how_far, s.pops.*how_far, {}};
  const Surface& face = study.room.surfaces[result.surface];
  if (face.kind == Surface::Kind::ceiling)
    by.faces = {sagged(study.job, face, result.layout.run, s.sag.*how_far), lifted(study.job, face, result.layout.run, s.truss_lift.*how_far)};
  return by;
}

bool pops(const JointResult& r) { return r.joint.line.kind == JointKind::fixings && !r.joint.line.spots.empty(); }

// The same joints moved as usual and badly: the most seen by `judged` of those that `concerned` picks.
template <class Concerned, class JudgedOf>
void add_movement(SurfaceResult& result, const SurfaceResult& usual, const SurfaceResult& bad, const char* what, const Movement& movement,
                  Concerned&& concerned, JudgedOf&& judged) {
  MovementResult m{&movement, what, {}, {}};
  bool any = false;
  for (std::size_t j = 0; j < result.joints.size(); ++j) {
    if (usual.joints[j].worst < 0 || bad.joints[j].worst < 0 || !concerned(result.joints[j])) continue;
    const Judged u = judged(usual.joints[j]), b = judged(bad.joints[j]);
    if (!any || u.visibility > m.usual.visibility) m.usual = u;
    if (!any || b.visibility > m.bad.visibility) m.bad = b;
    any = true;
  }
  if (any) result.movements.push_back(m);
}

}  // namespace

SurfaceResult assess_surface_at(const Study& study, int surface, const Finish& finish, const std::vector<std::vector<Focus>>& focus, bool spreads,
                                const Relief* made) {
  return looked_at_again(study, surface, finish, focus, {}, spreads, made);
}

void add_later(const Study& study, SurfaceResult& result) {
  std::vector<std::vector<Focus>> focus;
  for (const JointResult& r : result.joints) {
    auto& worst = focus.emplace_back();
    if (r.worst >= 0) worst.push_back({r.seen[r.worst].moment, r.seen[r.worst].viewer, r.seen[r.worst].station});
  }
  const Relief still = finished_relief(study, result.layout, result.surface, result.finish);
  const auto again = [&](double Movement::*how_far) {
    return looked_at_again(study, result.surface, result.finish, focus, moved_by(study, result, how_far), true, &still);
  };
  const SurfaceResult usual = again(&Movement::usual), bad = again(&Movement::bad);
  std::vector<const std::vector<double>*> spreads;
  for (std::size_t j = 0; j < result.joints.size(); ++j) {
    JointResult& r = result.joints[j];
    const JointResult &u = usual.joints[j], &b = bad.joints[j];
    // not every fixing pops: the chance that any joint shows is that of joints peaked among fixings as they are
    const auto& spread = pops(r) ? r.spread : u.spread;
    if (!spread.empty()) spreads.push_back(&spread);
    if (u.worst >= 0 && b.worst >= 0) r.later = Later{u.seen[u.worst].judged, b.seen[b.worst].judged, u.chance_shows};
  }
  const VerdictSpec& rules = study.job.verdict;
  result.chance_any_shows_later = chance_any_over(spreads, {*rules.gain, *rules.band}, *rules.shows);
  const Season& s = season();
  const auto as_seen = [](const JointResult& r) { return r.seen[r.worst].judged; };
  const auto all = [](const JointResult&) { return true; };
  add_movement(result, usual, bad, "peaking", s.peaking, [](const JointResult& r) { return joins_sheets(r.joint.line.kind); }, as_seen);
  add_movement(result, usual, bad, "pops", s.pops, pops, as_seen);
  if (study.room.surfaces[result.surface].kind != Surface::Kind::ceiling) return;
  add_movement(result, usual, bad, "sag", s.sag, all, [](const JointResult& r) { return r.over[0].alone; });
  add_movement(result, usual, bad, "truss lift", s.truss_lift, all, [](const JointResult& r) { return r.over[1].alone; });
}

std::vector<std::vector<Focus>> focus_of(const SurfaceResult& result) {
  std::vector<std::vector<Focus>> focus;
  for (const auto& joint : result.joints) {
    auto& chosen = focus.emplace_back();
    if (joint.worst < 0) continue;
    std::vector<Seen> seen = joint.seen;
    std::stable_sort(seen.begin(), seen.end(),
                     [](const Seen& a, const Seen& b) { return a.judged.visibility > b.judged.visibility; });
    for (const Seen& look : seen) {
      const double v = look.judged.visibility, most = seen[0].judged.visibility;
      const auto same = std::count_if(chosen.begin(), chosen.end(), [&](const Focus& f) { return f.moment == look.moment; });
      if (chosen.empty() || (same == 0 && v >= 0.4 * most) || (same == 1 && v >= 0.6 * most))
        chosen.push_back({look.moment, look.viewer, look.station});
    }
  }
  return focus;
}

Assessment assess(const Study& study) {
  long_work("looking at every joint");
  Assessment assessment;
  for (int s = 0; s < static_cast<int>(study.room.surfaces.size()); ++s)
    if (study.room.surfaces[s].spec >= 0) {
      SurfaceResult& result = assessment.surfaces.emplace_back(assess_surface(study, s, requested_finish(study, s)));
      // a risk to the finished work
      if (study.stage == PaintStage::painted) add_later(study, result);
    }
  std::vector<const std::vector<double>*> spreads;
  for (const auto& surface : assessment.surfaces)
    for (const auto& joint : surface.joints)
      if (!joint.spread.empty()) spreads.push_back(&joint.spread);
  const VerdictSpec& rules = study.job.verdict;
  assessment.chance_any_shows = chance_any_over(spreads, {*rules.gain, *rules.band}, *rules.shows);
  return assessment;
}

}  // namespace rakelight
