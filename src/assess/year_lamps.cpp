// The band of a year that no sun changes: lamps alone.
#include "assess/year.h"

namespace rakelight {

std::vector<LampsAlone> lamps_alone(Study& study) {
  std::vector<int> moments;
  for (int m = 0; m < static_cast<int>(study.moments.size()); ++m)
    if (study.moments[m].sky.dark && study.moments[m].at_text.empty()) moments.push_back(m);
  if (moments.empty() && !study.job.lamps.empty()) {
    Moment all;
    all.name = "all lamps";
    all.sky_text = "none";
    all.lamp_on.assign(study.job.lamps.size(), true);
    study.lighting.push_back(make_lighting(study.job, study.room, study.basis, all));
    study.moments.push_back(all);
    moments = {static_cast<int>(study.moments.size()) - 1};
  }
  std::vector<LampsAlone> found;
  if (moments.empty()) return found;
  for (int s = 0; s < static_cast<int>(study.room.surfaces.size()); ++s) {
    if (study.room.surfaces[s].spec < 0) continue;
    LampsAlone& at = found.emplace_back();
    at.surface = s;
    const SurfaceResult result = assess_surface(study, s, requested_finish(study, s), moments);
    const JointResult* worst = result.worst();
    if (!worst) continue;
    const Seen& seen = worst->seen[worst->worst];
    at.joint = worst->joint.line.id;
    at.moment = study.moments[seen.moment].name;
    at.judged = seen.judged;
  }
  return found;
}

}  // namespace rakelight
