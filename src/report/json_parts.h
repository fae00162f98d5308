// What every JSON document shares.
#pragma once
#include <nlohmann/json.hpp>
#include <string>

#include "job/job.h"

namespace rakelight {

using Json = nlohmann::ordered_json;

/// `digits` significant digits; null when it is no finite number.
Json rounded(double value, int digits = 6);
/// program, version, schema, assumed.
Json heading(const Job* job);
std::string text_of(const Json& j);

}  // namespace rakelight
