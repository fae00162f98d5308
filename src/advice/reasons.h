// Why an option is the better one, in plain words with their numbers.
#pragma once
#include <string>
#include <vector>

#include "advice/advice.h"
#include "base/text.h"

namespace rakelight {

/// Of a visibility or a ratio: it never claims three digits, its uncertainty is a factor.
inline std::string two_digits(double v) { return fixed_text(v, v < 9.95 ? 1 : 0); }

/// Sentences for people, the recommendation first. `results` stand in the order of advice.options; best and as_asked
/// are already chosen.
std::vector<std::string> reasons_for(const Study& study, const SurfaceAdvice& advice, const std::vector<SurfaceResult>& results);

}  // namespace rakelight
