#include "advice/advice.h"

#include <algorithm>
#include <cmath>

#include "advice/reasons.h"
#include "base/long_work.h"

namespace rakelight {
namespace {

// The run as the job file writes it: for a ceiling the wall's name alone.
std::string run_key(const Study& study, int surface, Run run) {
  const std::string text = run_text(study.room, surface, run), towards = "towards ";
  return text.starts_with(towards) ? text.substr(towards.size()) : text;
}

Option option_of(const Study& study, const SurfaceResult& result) {
  Option o;
  o.finish = result.finish;
  const Level& level = *study.scheme.find(o.finish.level);
  const auto named = [](const Level& l) { return !l.uses.empty(); };
  o.for_paint = std::any_of(study.scheme.levels.begin(), study.scheme.levels.end(), named) ? named(level) : level.tape && level.coats >= 1;
  const Finish asked = requested_finish(study, result.surface);
  const std::string key = "surface." + study.room.surfaces[result.surface].name;
  if (o.finish.run != asked.run)
    o.changes.push_back({key + ".run", run_key(study, result.surface, asked.run), run_key(study, result.surface, o.finish.run)});
  if (o.finish.level != asked.level) o.changes.push_back({key + ".level", asked.level, o.finish.level});
  for (const auto& joint : result.joints) {
    ++o.joints;
    o.joint_metres += joint.joint.line.length();
    if (joint.worst < 0) continue;
    const Verdict verdict = joint.seen[joint.worst].judged.verdict;
    o.showing += verdict == Verdict::shows;
    o.faint += verdict == Verdict::faint;
  }
  o.chance_any_shows = result.chance_any_shows;
  if (const JointResult* worst = result.worst()) {
    const Seen& seen = worst->seen[worst->worst];
    o.judged = seen.judged;
    o.worst_joint = worst->joint.line.id;
    o.worst_moment = study.moments[seen.moment].name;
    o.worst_viewer = study.viewers[seen.viewer].name;
  }
  o.cost = cost_of(study, result);
  return o;
}

/// Large halls have hundreds of joints, and nobody asks for the sections of finishes that were weighed.
void let_sections_go(SurfaceResult& result) {
  for (JointResult& r : result.joints) {
    r.joint.section = {};
    r.joint.change = {};
  }
}

void choose(SurfaceAdvice& advice, const Finish& asked, double aim) {
  const auto better = [&](const Option& a, const Option& b) {
    const bool a_within = a.chance_any_shows <= aim, b_within = b.chance_any_shows <= aim;
    if (a_within != b_within) return a_within;
    if (a_within) return middle(a.cost.hours) < middle(b.cost.hours);
    // chances near one no longer tell options apart
    if (std::abs(a.chance_any_shows - b.chance_any_shows) > 0.01) return a.chance_any_shows < b.chance_any_shows;
    return a.judged.visibility < b.judged.visibility;
  };
  for (int i = 0; i < static_cast<int>(advice.options.size()); ++i) {
    const Option& o = advice.options[i];
    if (o.finish.run == asked.run && o.finish.level == asked.level) advice.as_asked = i;
    if (o.for_paint && (advice.best < 0 || better(o, advice.options[advice.best]))) advice.best = i;
  }
  advice.reached = advice.best >= 0 && advice.options[advice.best].chance_any_shows <= aim;
}

}  // namespace

std::string chance_text(double chance) {
  if (chance < 1e-3) return "less than 1 in 1000";
  if (chance >= 0.95) return "more than 9 in 10";
  if (chance > 0.4) return "about " + std::to_string(std::lround(chance * 10)) + " in 10";
  double n = 1 / chance;
  // no more digits than the chance is good for
  if (n >= 100) n = 100 * std::round(n / 100);
  else if (n >= 20) n = 10 * std::round(n / 10);
  return "about 1 in " + std::to_string(std::lround(n));
}

Advice advise(const Study& study, const Assessment& as_asked) {
  long_work("comparing levels and directions");
  Advice advice;
  for (const SurfaceResult& asked : as_asked.surfaces) {
    SurfaceAdvice& a = advice.surfaces.emplace_back();
    a.surface = asked.surface;
    std::vector<SurfaceResult>& results = a.results;
    const bool locked = *study.job.surfaces[study.room.surfaces[a.surface].spec].system != SystemSpec::none;
    for (const Run run : {Run::horizontal, Run::upright}) {
      if (locked && run != asked.finish.run) continue;  // a tested system comes with its direction
      const SurfaceResult full = run == asked.finish.run ? asked : assess_surface(study, a.surface, {run, asked.finish.level});
      const auto focus = focus_of(full);
      for (const Level& level : study.scheme.levels) {
        results.push_back(level.id == asked.finish.level ? full : assess_surface_at(study, a.surface, {run, level.id}, focus));
        a.options.push_back(option_of(study, results.back()));
        let_sections_go(results.back());
      }
    }
    choose(a, asked.finish, *study.job.verdict.chance);
    a.reasons = reasons_for(study, a, results);
  }
  return advice;
}

Advice advise(const Study& study) { return advise(study, assess(study)); }

}  // namespace rakelight
