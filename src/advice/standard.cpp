#include "advice/standard.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

#include "base/text.h"
#include "base/units.h"

namespace rakelight {
namespace {

int place_of(const Scheme& scheme, const std::string& level) {
  for (std::size_t i = 0; i < scheme.levels.size(); ++i)
    if (scheme.levels[i].id == level) return static_cast<int>(i);
  return -1;
}

std::string one_digit(double v) { return fixed_text(v, 1); }

}  // namespace

std::optional<StandardAdvice> standard_beside(const Study& study, const SurfaceAdvice& advice, const SurfaceResult& asked, const SurfaceCures& cures) {
  const int spec = study.room.surfaces[asked.surface].spec;
  const auto named = [](const Level& l) { return !l.uses.empty(); };
  if (spec < 0 || advice.as_asked < 0 || std::none_of(study.scheme.levels.begin(), study.scheme.levels.end(), named)) return std::nullopt;
  StandardAdvice s;
  const PaintSpec& paint = study.job.surfaces[static_cast<std::size_t>(spec)].paint;
  const auto known = paint_class(*paint.name);
  s.gloss60 = known ? known->gloss60 : *paint.gloss60;
  const JointResult* most_raked = nullptr;
  double across = 0;
  for (const JointResult& r : asked.joints)
    for (const Seen& seen : r.seen) {
      if (!std::isfinite(seen.raking_ratio)) continue;
      if (seen.raking_ratio > s.hardest) {
        s.hardest = seen.raking_ratio;
        most_raked = &r;
      }
      across = std::max(across, std::abs(seen.across_ratio));
    }
  s.critical = s.hardest >= critical_ratio;
  const Level* level = study.scheme.published_for(s.gloss60, s.critical);
  if (level) {
    const auto use = std::find_if(level->uses.begin(), level->uses.end(), [&](const PublishedUse& u) { return u.gloss60 >= s.gloss60 && (u.critical || !s.critical); });
    s.level = level->id;
    s.text = use->text;
    s.source = use->ground.source;
    s.confidence = use->ground.confidence;
  }
  s.ours = asked.finish.level;
  if (cures.needed) {
    if (!cures.mixes.empty() && cures.mixes.front().reached) {
      for (const Change& c : cures.mixes.front().changes)
        if (c.key.ends_with(".level")) s.ours = c.to;
    } else if (advice.best >= 0) {
      s.ours = advice.options[static_cast<std::size_t>(advice.best)].finish.level;
    }
  } else if (advice.best >= 0 && advice.reached) {
    s.ours = advice.options[static_cast<std::size_t>(advice.best)].finish.level;
  }
  const std::string looked_at = level ? level->id : study.scheme.levels.back().id;
  for (const Option& o : advice.options)
    if (o.finish.run == asked.finish.run && o.finish.level == looked_at) s.chance = o.chance_any_shows;
  s.same = s.level == s.ours;

  const double aim = *study.job.verdict.chance;
  const int theirs = level ? place_of(study.scheme, s.level) : static_cast<int>(study.scheme.levels.size()), own = place_of(study.scheme, s.ours);
  if (s.same) {
    s.why = s.chance > aim ? "both name that level, but by itself it is not enough here: " + chance_text(s.chance) + " that a joint still shows" : "";
  } else if (own < theirs) {
    s.why = s.critical && most_raked && across < 0.5 * s.hardest
                ? fmt::format("the standard goes by how hard the light rakes; here most of it runs along the joints, which feel {} to 1", one_digit(across))
            : s.critical ? "the standard asks for more wherever light is critical and the paint shines so much; here the computed joints do not need it, or need something that no level has"
                         : "the standard goes by the paint's sheen in any light; here it is computed for this light and these places to stand";
    s.why += "; a film over the whole face also evens what suction does to the paint, which a joint's V leaves out unless the job names its sealer";
  } else {
    s.why = fmt::format("the standard names levels by sheen and by ordinary or critical light alone; computed are the joints' crowns and widths under the light of this room ({} to 1 at most)", one_digit(s.hardest));
  }
  return s;
}

std::string standard_text(const Study& study, const StandardAdvice& s) {
  const std::string here = fmt::format("smooth paint of {} gloss units at 60° in {}", fixed_text(s.gloss60, s.gloss60 < 10 ? 1 : 0),
                                       s.critical ? fmt::format("critical light (raking ratio {})", one_digit(s.hardest)) : "ordinary light");
  const std::string theirs = s.level.empty() ? fmt::format("Scheme {} publishes no level for {}", study.scheme.id, here)
                                             : fmt::format("For {} scheme {} names level {} ({}, {}); there it is {} that a joint shows", here, study.scheme.id, s.level, s.source, s.confidence, chance_text(s.chance));
  return theirs + fmt::format("; computed is level {}", s.ours) + (s.same ? ", the same" : "") + (s.why.empty() ? "" : ": " + s.why);
}

}  // namespace rakelight
