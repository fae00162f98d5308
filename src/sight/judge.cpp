// Glare, and what a visibility means.
#include <algorithm>
#include <cassert>
#include <cmath>

#include "base/units.h"
#include "sight/sight.h"

namespace rakelight {

double veiling_luminance(double angle, double illuminance, double age, double pigment) {
  const double theta = std::clamp(angle * deg_per_rad, 0.1, 100.0);
  const double ageing = 1.0 + std::pow(age / 62.5, 4);
  return illuminance * (10.0 / (theta * theta * theta) +
                        (5.0 / (theta * theta) + 0.1 * pigment / theta) * ageing + 0.0025 * pigment);
}

std::string verdict_text(Verdict v) {
  switch (v) {
    case Verdict::hidden: return "hidden";
    case Verdict::faint: return "faint";
    case Verdict::shows: return "shows";
  }
  return {};
}

Judged judge(double raw_visibility, double gain, double band, double faint, double shows) {
  assert(raw_visibility >= 0 && gain > 0 && band >= 1 && faint <= shows);
  Judged j;
  j.visibility = gain * raw_visibility;
  j.low = j.visibility / band;
  j.high = j.visibility * band;
  j.verdict = j.high < faint ? Verdict::hidden : j.visibility >= shows ? Verdict::shows : Verdict::faint;
  const auto crossed = [&](double limit) { return j.low < limit && limit <= j.high; };
  j.borderline = crossed(faint) || crossed(shows);
  return j;
}

double detection_probability(double visibility) { return 1.0 - std::exp2(-std::pow(std::max(visibility, 0.0), 3.5)); }

}  // namespace rakelight
