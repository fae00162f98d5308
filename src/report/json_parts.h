// What every JSON document shares.
#pragma once
#include <nlohmann/json.hpp>
#include <string>

#include "cost/range.h"
#include "job/job.h"

namespace rakelight {

using Json = nlohmann::ordered_json;

/// `digits` significant digits; null when it is no finite number.
Json rounded(double value, int digits = 6);
/// Millimetres to a hundredth, finer than anything on site.
Json mm(double metres);
/// [low, high], each to `digits` significant digits.
Json range_json(Range range, int digits = 3);
/// program, version, schema, assumed.
Json heading(const Job* job);
std::string text_of(const Json& j);

}  // namespace rakelight
