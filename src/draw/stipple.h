// The waves of which pictures make paint's stipple (shaders/kernels/stipple.glsl).
#pragma once
#include <vector>

#include "base/vec.h"

namespace rakelight {

/// Cycles per pitch along x and y, phase (cycles), 0. The same every time: a picture drawn again has the same grain.
/// Squares of the frequencies are spread as the spectrum of Stipple has them: exponentially, with mean 1.
const std::vector<dvec4>& stipple_waves();

/// Whether any face of a scene's table has a stipple.
bool has_stipple(const std::vector<dvec4>& rows);

/// The steepest slope that pictures allow for on a face of a scene's table on account of its stipple: four standard deviations along an axis.
double steepest_stipple(const std::vector<dvec4>& rows, int surface);

}  // namespace rakelight
