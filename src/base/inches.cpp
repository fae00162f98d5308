#include "base/inches.h"

#include <cmath>
#include <fmt/format.h>
#include <numeric>

#include "base/units.h"

namespace rakelight {
namespace {

std::string text_of(double metres, int parts, bool feet) {
  const double inches = std::abs(metres) * mm_per_m / mm_per_inch;
  if (!std::isfinite(inches) || inches > 1e9) return fmt::format("{}\"", inches);
  const auto all = static_cast<long long>(std::llround(inches * parts));
  const char* sign = metres < 0 && all > 0 ? "-" : "";
  const long long per_foot = 12LL * parts, whole_feet = feet ? all / per_foot : 0, rest = all - whole_feet * per_foot;
  const long long whole = rest / parts, part = rest % parts, shared = std::gcd(part, static_cast<long long>(parts));
  std::string out = sign;
  if (whole_feet > 0) out += fmt::format("{}'", whole_feet);
  if (rest == 0 && whole_feet > 0) return out;
  if (whole_feet > 0) out += ' ';
  if (part == 0) return out + fmt::format("{}\"", whole);
  if (whole > 0 || whole_feet > 0) out += fmt::format("{}-", whole);
  return out + fmt::format("{}/{}\"", part / shared, parts / shared);
}

}  // namespace

std::string feet_text(double metres, int parts) { return text_of(metres, parts, true); }
std::string inches_text(double metres, int parts) { return text_of(metres, parts, false); }

}  // namespace rakelight
