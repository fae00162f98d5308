#include "advice/cures.h"

#include <algorithm>
#include <cmath>

#include "advice/cure_words.h"
#include "base/units.h"

namespace rakelight {
namespace {

constexpr double lean = 0.75;   // a quarter lower: what the sketch is off by between looks (tests/unit/advice/sketch.cpp)
constexpr double sure = 0.5;    // of the aim: well within

const std::vector<Lever>& before_boards() {
  static const std::vector<Lever> levers{Lever::framing, Lever::run, Lever::layout};
  return levers;
}

/// Until when a mix can be made.
std::string when_of(const Mix& mix) {
  if (std::any_of(before_boards().begin(), before_boards().end(), [&](Lever l) { return at(mix, l) != 0; })) return "before the sheets are hung";
  if (at(mix, Lever::level) != 0 || at(mix, Lever::width) != 0) return "before the joints are finished";
  if (at(mix, Lever::sheen) != 0 || at(mix, Lever::texture) != 0) return "before it is painted";
  return "at any time";
}

}  // namespace

Allowed Allowed::only(const std::vector<Lever>& levers) {
  Allowed a;
  a.lever.fill(false);
  for (const Lever l : levers) a.lever[static_cast<std::size_t>(l)] = true;
  return a;
}

Allowed Allowed::without(const std::vector<Lever>& levers) {
  Allowed a;
  for (const Lever l : levers) a.lever[static_cast<std::size_t>(l)] = false;
  return a;
}

bool Allowed::operator()(const Mix& mix) const {
  for (std::size_t l = 0; l < mix.size(); ++l)
    if (mix[l] != 0 && !lever[l]) return false;
  return true;
}

std::vector<Mix> all_mixes(const Sketch& sketch, const Allowed& allowed, int most_changed) {
  std::vector<Mix> mixes{Mix{}};
  for (std::size_t l = 0; l < sketch.levers().size(); ++l) {
    if (!allowed.lever[l]) continue;
    const std::size_t before = mixes.size();
    for (int s = 1; s < static_cast<int>(sketch.levers()[l].settings.size()); ++s)
      for (std::size_t i = 0; i < before; ++i) {
        if (changed_levers(mixes[i]) >= most_changed) continue;
        Mix m = mixes[i];
        m[l] = s;
        mixes.push_back(m);
      }
  }
  struct Priced { double hours; int changed; Mix mix; };
  std::vector<Priced> priced;
  for (const Mix& m : mixes)
    if (sketch.possible(m)) priced.push_back({middle(sketch.hours(m)), changed_levers(m), m});
  std::sort(priced.begin(), priced.end(), [](const Priced& a, const Priced& b) { return std::tie(a.hours, a.changed, a.mix) < std::tie(b.hours, b.changed, b.mix); });
  mixes.clear();
  for (const Priced& p : priced) mixes.push_back(p.mix);
  return mixes;
}

Cure cure_of(const Sketch& sketch, const Mix& mix, double aim) {
  Cure c;
  c.mix = mix;
  c.when = when_of(mix);
  for (std::size_t l = 0; l < mix.size(); ++l) {
    if (mix[l] == 0) continue;
    const Setting& s = sketch.levers()[l].settings[static_cast<std::size_t>(mix[l])];
    c.what.push_back(s.text);
    if (std::find(c.by.begin(), c.by.end(), s.by) == c.by.end()) c.by.push_back(s.by);
  }
  c.changes = changes_of(sketch.study(), sketch.surface(), sketch.levers(), mix);
  c.hours = sketch.hours(mix);
  c.outcome = sketch.expected(mix);
  c.reached = c.outcome.chance <= aim;
  return c;
}

Cure least_work(Sketch& sketch, double aim, const Allowed& allowed, int looks, int most_changed) {
  const std::vector<Mix> mixes = all_mixes(sketch, allowed, most_changed);
  int failed = 0;
  for (const Mix& mix : mixes) {
    // what was looked at for another question costs nothing to ask
    const bool known = sketch.looked_at(mix);
    if (!known && failed > 2 * looks) continue;
    if (!sketch.within(mix, aim, lean)) continue;
    if (!known && failed >= looks && !sketch.within(mix, sure * aim, 1)) continue;
    if (sketch.holds(mix, aim)) return cure_of(sketch, mix, aim);
    ++failed;
  }
  // chances near one no longer tell mixes apart
  const auto weight = [](const std::pair<double, double>& chance_and_v) { return chance_and_v.first + 1e-3 * chance_and_v.second; };
  // what the worst joint alone leaves possible, least first: most mixes need no more
  std::vector<std::pair<double, std::size_t>> hoped;
  for (std::size_t i = 0; i < mixes.size(); ++i) hoped.emplace_back(weight(sketch.weighed_by_worst(mixes[i])) - 0.005, i);
  std::sort(hoped.begin(), hoped.end());
  std::pair<double, std::size_t> least{2, 0};
  for (const auto& [at_least, i] : hoped) {
    if (at_least > least.first) break;
    least = std::min(least, {weight(sketch.weighed(mixes[i])), i});
  }
  const Mix& mix = mixes[least.second];
  sketch.look(mix);
  return cure_of(sketch, mix, aim);
}

double width_needed(double crown, double across, double contrast) { return pi * crown * across / contrast; }

double lamp_distance(double z, double least) { return z * std::tan(least); }

SurfaceCures cures_of(const Study& study, const SurfaceAdvice& advice, const SurfaceResult& asked, double aim, std::shared_ptr<ChangedLight> light) {
  SurfaceCures out;
  out.surface = asked.surface;
  out.aim = aim;
  out.now.chance = asked.chance_any_shows;
  if (const JointResult* worst = asked.worst()) {
    const Seen& seen = worst->seen[static_cast<std::size_t>(worst->worst)];
    out.now = {asked.chance_any_shows, seen.judged, worst->joint.line.id, seen.moment, true, {}};
  }
  bool framing = false;
  for (const JointResult& r : asked.joints) framing = framing || (r.framing && chance_over({r.framing->alone.visibility}, {1, *study.job.verdict.band}, *study.job.verdict.shows) > aim);
  out.needed = out.now.chance > aim || framing;
  if (!out.needed) {
    out.reasons = cure_words(study, advice, asked, out, nullptr);
    return out;
  }
  Sketch sketch(study, advice, asked, levers_of(study, advice, std::move(light)));
  out.now = sketch.expected(Mix{});

  const Allowed questions[] = {{}, Allowed::without({Lever::texture}), Allowed::without({Lever::lamp, Lever::cover}), Allowed::without(before_boards()), Allowed::only({Lever::sheen, Lever::texture, Lever::lamp, Lever::cover})};
  for (const Allowed& allowed : questions) {
    const Cure c = least_work(sketch, aim, allowed, 3);
    if (c.mix == Mix{} || std::any_of(out.mixes.begin(), out.mixes.end(), [&](const Cure& known) { return known.mix == c.mix; })) continue;
    out.mixes.push_back(c);
  }
  std::stable_sort(out.mixes.begin(), out.mixes.end(), [](const Cure& a, const Cure& b) {
    if (a.reached != b.reached) return a.reached;
    return a.reached ? middle(a.hours) < middle(b.hours) : a.outcome.chance < b.outcome.chance;
  });
  for (const LeverSettings& lever : sketch.levers()) {
    if (lever.settings.size() < 2) continue;
    Cure best;
    for (int s = 1; s < static_cast<int>(lever.settings.size()); ++s) {
      Mix mix{};
      at(mix, lever.lever) = s;
      const Cure c = cure_of(sketch, mix, aim);
      const auto better = [&] {
        if (c.reached != best.reached) return c.reached;
        return c.reached ? middle(c.hours) < middle(best.hours) : c.outcome.judged.visibility < best.outcome.judged.visibility;
      };
      if (s == 1 || better()) best = c;
    }
    out.singles.push_back(best);
  }

  // joints that even the greatest width leaves too likely to show
  const auto& widths = sketch.levers()[static_cast<std::size_t>(Lever::width)].settings;
  for (const JointResult& r : asked.joints) {
    if (r.worst < 0 || !joins_sheets(r.joint.line.kind) || r.joint.measured || r.chance_shows <= aim) continue;
    const Seen& seen = r.seen[static_cast<std::size_t>(r.worst)];
    if (!std::isfinite(seen.across_ratio)) continue;
    Mix mix{};
    at(mix, Lever::width) = static_cast<int>(widths.size()) - 1;
    const double share = widths.size() > 1 ? sketch.width_factor(mix, seen.moment, r.joint.line.kind) : 1, v = share * seen.judged.visibility;
    const double chance = chance_over(r.spread, {share * *study.job.verdict.gain, *study.job.verdict.band}, *study.job.verdict.shows);
    if (chance <= aim) continue;
    const double width = widths.size() > 1 ? std::min(widths.back().value * r.width, widest_joint) : r.width;
    out.no_width.push_back({r.joint.line.id, std::abs(r.crown), std::abs(seen.across_ratio), width, width_needed(std::abs(r.crown), std::abs(seen.across_ratio), casual_contrast), v, chance});
  }
  out.looks = sketch.looks() - 1;
  out.reasons = cure_words(study, advice, asked, out, &sketch);
  return out;
}

}  // namespace rakelight
