// What was measured on a joint, for people and for programs.
#pragma once
#include <string>

#include "advice/measure.h"

namespace rakelight {

/// JSON as docs/schema/measure.json.
std::string measure_json(const Study& study, const Measured& measured);
std::string measure_text(const Study& study, const Measured& measured, bool colour);

}  // namespace rakelight
