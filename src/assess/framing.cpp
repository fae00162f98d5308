#include "assess/framing.h"

#include <algorithm>
#include <cmath>

#include "assess/angle.h"
#include "base/units.h"

namespace rakelight {
namespace {

constexpr double reach = 1.5, fade = 0.5;  // m

/// How much stronger the joint's contrast is than slopes alone make it: what sheen does to it.
double sheen_gain(const PlacedJoint& joint, const ContrastProfile& profile, double across) {
  double seen = 0, slopes = 0;
  for (std::size_t i = 0; i < profile.offset.size(); ++i) {
    const double plain = across * joint.section.slope_at(profile.offset[i]);
    seen += profile.contrast[i] * profile.contrast[i];
    slopes += plain * plain;
  }
  return slopes > 1e-8 ? std::clamp(std::sqrt(seen / slopes), 0.5, 10.0) : 1;
}

}  // namespace

Framed framed_visibility(const Study& study, int surface, const PlacedJoint& joint, const Substrate& substrate,
                         const ContrastProfile& profile, int moment, dvec3 eye, double veil) {
  const Surface& face = study.room.surfaces[surface];
  const JointLine& line = joint.line;
  const dvec2 middle = line.from + profile.station * line.along();
  const LightVector e = total_light(study.lighting[moment], surface, middle);
  Framed out;
  if (profile.offset.size() < 2 || !(e.n > 0)) return out;
  const dvec2 ratio = e.tangential() / e.n;
  const double gain = sheen_gain(joint, profile, glm::dot(ratio, line.across()));

  // on the joint's own grid of offsets, so that the two add cell by cell
  const double step = (profile.offset.back() - profile.offset.front()) / static_cast<double>(profile.offset.size() - 1);
  ContrastProfile alone;
  alone.station = profile.station;
  const int before = static_cast<int>(std::floor((reach + profile.offset.front()) / step)), after = static_cast<int>(std::floor((reach - profile.offset.back()) / step));
  const int count = static_cast<int>(profile.offset.size());
  std::vector<double> together;
  double sum = 0, weights = 0;
  std::vector<double> weight;
  for (int i = -before; i < count + after; ++i) {
    const double u = profile.offset.front() + step * i;
    const dvec2 p = middle + u * line.across();
    if (!face.box.contains(p)) continue;
    const double t = std::clamp((reach - std::abs(u)) / fade, 0.0, 1.0);
    alone.offset.push_back(u);
    alone.contrast.push_back(-gain * glm::dot(ratio, substrate_at(substrate, p).slope));
    weight.push_back(t * t * (3 - 2 * t));
    together.push_back(i >= 0 && i < count ? profile.contrast[static_cast<std::size_t>(i)] : 0.0);
    sum += weight.back() * alone.contrast.back();
    weights += weight.back();
  }
  for (std::size_t i = 0; i < weight.size(); ++i) {
    alone.contrast[i] = weight[i] * (alone.contrast[i] - sum / weights);
    together[i] += alone.contrast[i];
  }
  const auto judged = [&](const ContrastProfile& seen) {
    AngularPattern pattern = angular_pattern(seen, line, face.frame, eye, degrees_per_sample);
    pattern.luminance = profile.flat_luminance + veil;
    pattern.share = pattern.luminance > 0 ? profile.flat_luminance / pattern.luminance : 0;
    pattern.grain = grain_of(study.paints[surface], profile, line, face.frame, eye);
    pattern.length_deg = angle_between(face.frame.world_from_surface(line.from), face.frame.world_from_surface(line.to), eye) * deg_per_rad;
    const VerdictSpec& rules = study.job.verdict;
    return judge(pattern_visibility(pattern, {0, 0, 0, 0}), *rules.gain, *rules.band, *rules.faint, *rules.shows);
  };
  out.alone = judged(alone);
  alone.contrast = together;
  out.together = judged(alone);
  return out;
}

}  // namespace rakelight
