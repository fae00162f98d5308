#include "report/json_parts.h"

#include <cmath>

#include "base/text.h"
#include "base/units.h"

namespace rakelight {
namespace {

Json assumptions(const Job& job) {
  Json list = Json::array();
  for (const Assumed& a : assumed(job)) list.push_back({{"key", a.key}, {"value", a.value}, {"why", a.why}});
  return list;
}

}  // namespace

Json rounded(double value, int digits) {
  if (!std::isfinite(value)) return nullptr;
  if (value == 0) return 0.0;
  const double scale = std::pow(10.0, digits - 1 - static_cast<int>(std::floor(std::log10(std::abs(value)))));
  return std::round(value * scale) / scale;
}

Json mm(double metres) { return std::round(metres * mm_per_m * 100.0) / 100.0 + 0.0; }

Json range_json(Range range, int digits) { return Json::array({rounded(range.low, digits), rounded(range.high, digits)}); }

Json heading(const Job* job) {
  Json j;
  j["program"] = "rakelight";
  j["version"] = program_version();
  j["schema"] = 1;
  j["assumed"] = job ? assumptions(*job) : Json::array();
  return j;
}

std::string text_of(const Json& j) { return j.dump(2, ' ', false, Json::error_handler_t::replace) + "\n"; }

}  // namespace rakelight
