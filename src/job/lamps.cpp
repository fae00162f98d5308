#include "job/lamps.h"

#include <array>
#include <cmath>
#include <fmt/format.h>

#include "base/text.h"
#include "base/units.h"

namespace rakelight {
namespace {

constexpr dvec3 down{0, 0, -1}, up{0, 0, 1};

const std::array<UsualLamp, 4> usual_lamps{{
    {LampKind::strip, down, 120, 1000, 10, "a flat strip that shines by the cosine (common practice)"},
    {LampKind::uplight, up, 100, 1500, 200, "a usual floor lamp (estimate)"},
    {LampKind::wall, down, 120, 600, 100, "a usual wall light (estimate)"},
    {LampKind::hand, down, 90, 1500, 100, "a usual work lamp (estimate)"},
}};

std::string direction_text(const LampSpec& lamp) {
  if (*lamp.kind == LampKind::wall) return "away from the nearest wall";
  return lamp.aim->z > 0 ? "straight up" : "straight down";
}

}  // namespace

const UsualLamp* usual_lamp(LampKind kind) {
  for (const UsualLamp& usual : usual_lamps)
    if (usual.kind == kind) return &usual;
  return nullptr;
}

void settle_lamp(LampSpec& lamp, Diagnostics& diagnostics) {
  const bool strip = *lamp.kind == LampKind::strip;
  if (strip && !lamp.to.given) {
    diagnostics.error(lamp.position.at, fmt::format("strip {} has one end", *lamp.name), "to = [x, y, z], its other end", lamp.at, "the strip is this");
    return;
  }
  if (!strip && lamp.to.given)
    diagnostics.error(lamp.to.at, fmt::format("lamp {} has a second end and is no strip", *lamp.name), "kind = \"strip\", or no `to`", lamp.kind.at, "its kind is given here");
  const dvec3 along = *lamp.to - *lamp.position;
  const double length = glm::length(along);
  if (strip && length < 1e-3) {
    diagnostics.error(lamp.to.at, fmt::format("both ends of strip {} are in one place", *lamp.name), "two ends at least 1 mm apart", lamp.position.at, "the other end");
    return;
  }
  if (const UsualLamp* usual = usual_lamp(*lamp.kind)) {
    if (!lamp.aim.given) lamp.aim.value = usual->aim;
    if (!lamp.beam.given) lamp.beam.value = usual->beam_deg * rad_per_deg;
    if (!lamp.flux.given) lamp.flux.value = usual->flux * (strip ? length : 1);
    if (!lamp.size.given) lamp.size.value = usual->size_mm * m_per_mm;
  }
  if (strip && glm::length(glm::cross(along, *lamp.aim)) < 0.02 * length * glm::length(*lamp.aim))
    diagnostics.error(lamp.aim.given ? lamp.aim.at : lamp.to.at, fmt::format("strip {} is aimed along itself", *lamp.name), "aim = a direction across it",
                      lamp.to.at, "it ends here");
  if (!lamp.photometry->empty() && lamp.beam.given)
    diagnostics.error(lamp.beam.at, fmt::format("beam and photometry both say how lamp {} spreads its light", *lamp.name), "one of the two", lamp.photometry.at,
                      "the distribution is named here");
}

std::vector<Assumed> assumed_lamp(const LampSpec& lamp, Units units) {
  const UsualLamp* usual = usual_lamp(*lamp.kind);
  std::vector<Assumed> out;
  const std::string name = "lamp." + *lamp.name + ".";
  const std::string why(usual ? usual->why : "straight down");
  if (!usual && lamp.photometry->empty()) return out;
  if (!lamp.aim.given) out.push_back({name + "aim", direction_text(lamp), usual ? why : "straight down"});
  if (!lamp.photometry->empty()) return out;  // the file says the rest
  const double mm = *lamp.size * mm_per_m;
  if (!lamp.size.given && *lamp.kind != LampKind::strip)
    out.push_back({name + "size", units == Units::inch ? number_text(std::round(mm / mm_per_inch * 100) / 100) + " in" : number_text(std::round(mm)) + " mm", why});
  if (!lamp.flux.given) out.push_back({name + "flux", number_text(std::round(*lamp.flux)) + " lumen", why});
  if (!lamp.beam.given) out.push_back({name + "beam", number_text(std::round(*lamp.beam * deg_per_rad)) + " degrees", why});
  return out;
}

}  // namespace rakelight
