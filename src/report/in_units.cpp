#include "report/in_units.h"

#include <algorithm>
#include <cstdlib>
#include <fmt/format.h>
#include <regex>

#include "base/inches.h"
#include "base/text.h"
#include "base/units.h"

namespace rakelight {
namespace {

constexpr double fine_below = 10;      // mm: thinner is a height of a joint, not a length on a tape
constexpr double runs_from = 6;        // m
constexpr double ft_per_m = 1 / 0.3048;
constexpr double lb_per_kg = 1 / 0.45359237;  // exact

double number(std::string text) {
  std::erase(text, ',');
  return std::strtod(text.c_str(), nullptr);
}

}  // namespace

std::string in_units(Units units, const std::string& text) {
  if (units != Units::inch) return text;
  static const std::regex length(R"((\d[\d,]*(?:\.\d+)?)(?:( ?(?:-|–|±|×) ?| to | by | x )(\d[\d,]*(?:\.\d+)?))? (mm per m|mm a metre|mm/m|mm|m²|m|kg|°C)(?![A-Za-z0-9_/])(?! a litre)( \((\d[^()]*(?:ft|in|lb|°F|[\x27\x22]))\))?)");
  std::string out;
  const std::string metre = "a metre of face";  // about as much as somebody reaches: no figure to turn exactly
  if (const auto at = text.find(metre); at != text.npos) return in_units(units, text.substr(0, at)) + "three feet of face" + in_units(units, text.substr(at + metre.size()));
  auto from = text.cbegin();
  for (std::smatch m; std::regex_search(from, text.cend(), m, length);) {
    const bool starts = m[0].first == text.cbegin() || !(std::isalnum(static_cast<unsigned char>(*(m[0].first - 1))) || *(m[0].first - 1) == '_' || *(m[0].first - 1) == '.');
    const bool square = m[4].second != text.cend() && std::string(m[4].second, text.cend()).starts_with("²");  // cd/m² and such have no number of their own
    if (!starts || square) {
      // not a number of its own: on from behind its first digits
      const auto on = m[1].second;
      out.append(from, on);
      from = on;
      continue;
    }
    out.append(from, m[0].first);
    const double low = number(m[1].str()), high = m[3].matched ? number(m[3].str()) : low, most = std::max(low, high);
    const std::string unit = m[4].str();
    if (m[6].matched) {
      // said in feet and inches already, in brackets
      out += m[6].str();
      from = m[0].second;
      continue;
    }
    const auto each = [&](auto&& one, const char* behind) {
      out += one(low);
      if (m[3].matched) out += m[2].str() + one(high);
      out += behind;
    };
    if (unit == "kg") each([&](double kg) { return fixed_text(kg * lb_per_kg, most * lb_per_kg < 10 ? 1 : 0); }, " lb");
    else if (unit == "°C") each([](double celsius) { return fixed_text(celsius * 1.8 + 32, 0); }, " °F");
    else if (unit == "mm" && most < fine_below && most > 0) each([](double mm) { return fixed_text(mm / mm_per_inch, 3); }, " in");
    else if (unit == "mm") each([](double mm) { return feet_text(mm * m_per_mm); }, "");
    else if (unit == "m²") each([](double m2) { return fixed_text(m2 * ft_per_m * ft_per_m, 0); }, " ft²");
    else if (unit != "m") each([](double slope) { return fixed_text(slope * 1e-3 * 12, 3); }, " in per ft");
    else if (most < runs_from) each([](double metres) { return feet_text(metres, 1); }, "");
    else each([](double metres) { return fixed_text(metres * ft_per_m, 0); }, " ft");
    from = m[0].second;
  }
  out.append(from, text.cend());
  return out;
}

}  // namespace rakelight
