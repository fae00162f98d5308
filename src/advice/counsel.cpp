#include "advice/counsel.h"
#include "base/long_work.h"

#include <algorithm>

namespace rakelight {

const SurfaceCounsel* Counsel::of(int surface) const {
  for (const SurfaceCounsel& c : surfaces)
    if (c.cures.surface == surface) return &c;
  return nullptr;
}

double share_of_aim(const Study& study, const Assessment& assessment) {
  const double aim = *study.job.verdict.chance;
  const auto count = std::count_if(assessment.surfaces.begin(), assessment.surfaces.end(), [&](const SurfaceResult& s) { return s.chance_any_shows > 0.05 * aim; });
  return aim / static_cast<double>(std::max<long>(1, count));
}

Counsel counsel(const Study& study, const Assessment& assessment, const Advice& advice) {
  long_work("searching for the least work");
  Counsel out;
  const double aim = share_of_aim(study, assessment);
  const auto light = std::make_shared<ChangedLight>();
  std::vector<std::vector<double>> spreads;
  for (const SurfaceAdvice& a : advice.surfaces) {
    const auto asked = std::find_if(assessment.surfaces.begin(), assessment.surfaces.end(), [&](const SurfaceResult& s) { return s.surface == a.surface; });
    if (asked == assessment.surfaces.end()) continue;
    SurfaceCounsel& c = out.surfaces.emplace_back();
    c.cures = cures_of(study, a, *asked, aim, light);
    c.later = under_standing_lamps(study, *asked, light);
    c.standard = standard_beside(study, a, *asked, c.cures);
    const auto& after = c.cures.mixes.empty() ? c.cures.now : c.cures.mixes.front().outcome;
    if (after.spreads.empty())
      for (const JointResult& r : asked->joints) spreads.push_back(r.spread);
    spreads.insert(spreads.end(), after.spreads.begin(), after.spreads.end());
  }
  std::vector<const std::vector<double>*> all;
  for (const auto& s : spreads)
    if (!s.empty()) all.push_back(&s);
  const VerdictSpec& rules = study.job.verdict;
  out.chance_after = chance_any_over(all, {*rules.gain, *rules.band}, *rules.shows);
  return out;
}

}  // namespace rakelight
