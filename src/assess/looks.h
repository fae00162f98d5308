// Where joints are looked at, by whom, and through what glare.
#pragma once
#include <vector>

#include "assess/assess.h"

namespace rakelight {

/// Viewers who judge a surface: all but those set to another one, and those behind its plane.
std::vector<int> viewers_of(const Study& study, int surface);
/// Veiling luminance, cd/m², of sources around the gaze from `eye` to `point` (plan axes).
double veil_at(const std::vector<GlareSource>& sources, dvec3 eye, dvec3 point, double age);

}  // namespace rakelight
