// Every joint of a surface, at every moment, from every place where somebody stands.
#include "assess/assess.h"

#include <algorithm>
#include <cassert>
#include <map>
#include <optional>

#include "assess/framing.h"
#include "assess/hands.h"
#include "assess/joint_view.h"
#include "assess/looks.h"
#include "assess/rules.h"
#include "assess/search.h"
#include "base/long_work.h"
#include "joint/dates.h"
#include "light/parallel.h"

namespace rakelight {
namespace {

// Many joints are finished alike, of one face and of others; each section is measured once.
void lay_rules(const std::vector<SurfaceResult*>& surfaces) {
  std::vector<JointResult*> joints;
  for (SurfaceResult* surface : surfaces)
    for (JointResult& r : surface->joints) joints.push_back(&r);
  std::vector<std::size_t> twin;  // of each the first of the same kind and section, itself at the latest
  struct Task { std::size_t joint; RuleKey key; RuleReading reading; };
  std::vector<Task> tasks;
  for (std::size_t j = 0; j < joints.size(); ++j) {
    const auto alike = [&](const JointResult* o) {
      return o->joint.line.kind == joints[j]->joint.line.kind && o->joint.section.height == joints[j]->joint.section.height;
    };
    twin.push_back(static_cast<std::size_t>(std::find_if(joints.begin(), joints.end(), alike) - joints.begin()));
    if (twin[j] == j)
      for (const RuleKey& key : rules_wanted(joints[j]->joint.line.kind)) tasks.push_back({j, key, {}});
  }
  for_each_index(static_cast<int>(tasks.size()), [&](int i) {
    Task& t = tasks[static_cast<std::size_t>(i)];
    const PlacedJoint& joint = joints[t.joint]->joint;
    t.reading = lay_rule(joint.section, joint.line.kind, t.key);
  });
  std::map<std::size_t, LaidRules> laid;
  for (const Task& t : tasks) laid[t.joint].emplace(t.key, t.reading);
  for (std::size_t j = 0; j < joints.size(); ++j) {
    const auto rules = laid.find(twin[j]);
    if (rules == laid.end()) continue;
    JointResult& r = *joints[j];
    r.straightedge = read_straightedge(rules->second, r.joint.line.kind, r.joint.recipe.level);
    if (joins_sheets(r.joint.line.kind)) r.rules = read_rules(r.joint.section, rules->second);
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

// `find(reliefs)` looks at the joints, in their order; of each the look with the highest V has its profile and pattern.
template <class Find>
SurfaceResult judged_surface(const Study& study, int surface, const Finish& finish, const Moved& by, bool with_framing, bool with_spreads, const Relief* made, Find&& find) {
  SurfaceResult result;
  result.surface = surface;
  result.finish = finish;
  result.layout = finished_layout(study, surface, finish);
  std::vector<Relief> reliefs(study.room.surfaces.size());
  const BackingSpec backing = *study.job.surfaces[study.room.surfaces[surface].spec].backing;
  reliefs[surface] = moved(made ? *made : finished_relief(study, result.layout, surface, finish), by.peak, by.pop, backing == BackingSpec::recessed || backing == BackingSpec::both);
  if (with_framing) result.substrate = make_substrate(study.job, study.room.surfaces[surface], study.layouts[surface].run);
  Relief& relief = reliefs[surface];
  const int joints = static_cast<int>(relief.joints.size());

  const std::vector<FoundLook> looks = find(reliefs);
  std::vector<std::size_t> first(static_cast<std::size_t>(joints) + 1, looks.size());  // of each joint's looks
  for (std::size_t i = looks.size(); i-- > 0;) first[static_cast<std::size_t>(looks[i].joint)] = i;
  for (std::size_t j = first.size() - 1; j-- > 0;) first[j] = std::min(first[j], first[j + 1]);

  result.joints.resize(static_cast<std::size_t>(joints));
  const VerdictSpec& rules = study.job.verdict;
  const GainSpread gain{*rules.gain, *rules.band};
  for_each_index(joints, [&](int j) {
    JointResult& r = result.joints[j];
    r.joint = std::move(relief.joints[j]);
    r.crown = r.joint.section.crown;
    r.width = r.joint.section.width();
    const Look* worst = nullptr;
    for (std::size_t i = first[static_cast<std::size_t>(j)]; i < first[static_cast<std::size_t>(j) + 1]; ++i) {
      const FoundLook& found = looks[i];
      if (!worst || found.look.raw > worst->raw) {
        worst = &found.look;
        r.worst = static_cast<int>(r.seen.size());
      }
      r.seen.push_back(found.look.seen);
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

namespace {

SurfaceResult searched(const Study& study, int surface, const Finish& finish, const std::vector<int>& moments, const Relief* made) {
  std::vector<int> looked_at = moments;
  if (looked_at.empty())
    for (int m = 0; m < static_cast<int>(study.moments.size()); ++m) looked_at.push_back(m);
  SurfaceResult result = judged_surface(study, surface, finish, {}, true, true, made, [&](const std::vector<Relief>& reliefs) {
    const std::vector<int> viewers = viewers_of(study, surface);
    std::vector<std::pair<int, int>> pairs;
    for (const int m : looked_at)
      for (const int v : viewers) pairs.emplace_back(m, v);
    return pairs.empty() ? std::vector<FoundLook>() : search(make_setting(study, surface, reliefs, pairs), looked_at, viewers);
  });
  return result;
}

}  // namespace

SurfaceResult assess_surface(const Study& study, int surface, const Finish& finish, const std::vector<int>& moments) {
  SurfaceResult result = searched(study, surface, finish, moments, nullptr);
  lay_rules({&result});
  return result;
}

namespace {

SurfaceResult looked_at_again(const Study& study, int surface, const Finish& finish, const std::vector<std::vector<Focus>>& focus, const Moved& by,
                              bool spreads = true, const Relief* made = nullptr) {
  return judged_surface(study, surface, finish, by, false, spreads, made, [&](const std::vector<Relief>& reliefs) {
    assert(reliefs[surface].joints.size() == focus.size());
    std::vector<LookTask> tasks;
    std::vector<std::pair<int, int>> pairs;
    for (int j = 0; j < static_cast<int>(focus.size()); ++j) {
      if (focus[j].empty()) continue;
      // under another finish films that cross reach farther
      const std::vector<Stretch> clear = clear_stretches(reliefs[surface], j);
      for (const Focus& f : focus[j]) {
        tasks.push_back({j, f.moment, f.viewer, {clear_place(clear, f.station)}});
        pairs.emplace_back(f.moment, f.viewer);
      }
    }
    std::vector<Look> looks = look_at_all(make_setting(study, surface, reliefs, pairs), tasks);
    std::vector<FoundLook> found;
    for (std::size_t i = 0; i < looks.size(); ++i)
      if (looks[i].raw >= 0) found.push_back({tasks[i].joint, std::move(looks[i])});
    return found;
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
  std::vector<int> boarded;
  for (int s = 0; s < static_cast<int>(study.room.surfaces.size()); ++s)
    if (study.room.surfaces[s].spec >= 0) boarded.push_back(s);
  // what is made joint by joint is made of all at once
  std::vector<Relief> reliefs(boarded.size());
  for_each_index(static_cast<int>(boarded.size()), [&](int i) {
    const int s = boarded[static_cast<std::size_t>(i)];
    const Finish finish = requested_finish(study, s);
    reliefs[static_cast<std::size_t>(i)] = finished_relief(study, finished_layout(study, s, finish), s, finish);
  });
  assessment.surfaces.resize(boarded.size());
  for_each_index(static_cast<int>(boarded.size()), [&](int i) {
    const auto at = static_cast<std::size_t>(i);
    SurfaceResult& result = assessment.surfaces[at] = searched(study, boarded[at], requested_finish(study, boarded[at]), {}, &reliefs[at]);
    // a risk to the finished work
    if (study.stage == PaintStage::painted) add_later(study, result);
  });
  std::vector<SurfaceResult*> results;
  for (SurfaceResult& result : assessment.surfaces) results.push_back(&result);
  lay_rules(results);
  std::vector<const std::vector<double>*> spreads;
  for (const auto& surface : assessment.surfaces)
    for (const auto& joint : surface.joints)
      if (!joint.spread.empty()) spreads.push_back(&joint.spread);
  const VerdictSpec& rules = study.job.verdict;
  assessment.chance_any_shows = chance_any_over(spreads, {*rules.gain, *rules.band}, *rules.shows);
  return assessment;
}

}  // namespace rakelight
