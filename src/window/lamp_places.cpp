#include "window/lamp_places.h"

#include <algorithm>
#include <fmt/format.h>

namespace rakelight {
namespace {

bool names(const std::string& word, const LampSpec& lamp) { return word == *lamp.name || (!word.empty() && word == *lamp.group); }

/// The item of the moment's list that places the lamp: the last, as a later one overrides; empty when none does.
std::optional<std::size_t> placing(const LampSpec& lamp, const MomentSpec& moment) {
  std::optional<std::size_t> last;
  for (std::size_t k = 0; k < moment.lamp_uses.size(); ++k)
    if (moment.lamp_uses[k].position.given && names(*moment.lamp_uses[k].name, lamp)) last = k;
  return last;
}

}  // namespace

dvec3 lamp_place(const LampSpec& lamp, const std::optional<MomentSpec>& moment) {
  const auto k = moment && *lamp.kind == LampKind::hand ? placing(lamp, *moment) : std::nullopt;
  return k ? *moment->lamp_uses[*k].position : *lamp.position;
}

bool lamp_lit(const LampSpec& lamp, const std::optional<MomentSpec>& moment) {
  if (!moment) return false;
  return moment->all_lamps || std::any_of(moment->lamps->begin(), moment->lamps->end(), [&](const std::string& word) { return names(word, lamp); }) ||
         std::any_of(moment->lamp_uses.begin(), moment->lamp_uses.end(), [&](const LampUse& use) { return names(*use.name, lamp); });
}

std::vector<Edit> lamp_moved(const Job& job, const LampSpec& lamp, const std::optional<MomentSpec>& moment, dvec3 to) {
  if (moment && *lamp.kind == LampKind::hand && !moment->name->empty())
    for (const MomentSpec& own : job.moments) {
      if (*own.name != *moment->name) continue;
      const auto k = placing(lamp, own);
      if (k) return {{"moment", *own.name, fmt::format("lamps[{}].at", *k), point_value(job.units, to)}};
    }
  std::vector<Edit> edits{{"lamp", *lamp.name, "at", point_value(job.units, to)}};
  if (lamp.to.given) edits.push_back({"lamp", *lamp.name, "to", point_value(job.units, *lamp.to + to - *lamp.position)});
  return edits;
}

}  // namespace rakelight
