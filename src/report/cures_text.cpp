// Cures for people.
#include <algorithm>
#include <fmt/format.h>
#include <fmt/ranges.h>

#include "advice/cure_words.h"
#include "base/text.h"
#include "base/units.h"
#include "report/cures.h"
#include "report/words.h"

namespace rakelight {
namespace {

std::string chance_word(const Outcome& o) { return (o.looked ? "" : "~ ") + chance_text(o.chance); }

std::vector<std::string> row_of(const Study& study, const Cure& c, const std::string& name) {
  const Outcome& o = c.outcome;
  return {name, mix_text(c), hours_text(c.hours), fmt::format("{}", fmt::join(c.by, ", ")), two_digits(o.judged.visibility), chance_word(o),
          o.joint == "framing" || o.moment < 0 ? o.joint : fmt::format("{}, {}", o.joint, study.moments[static_cast<std::size_t>(o.moment)].name), c.reached ? "enough" : ""};
}

}  // namespace

std::string cures_text(const Study& study, const SurfaceCounsel& counsel, bool colour) {
  std::string out = "  Cures\n";
  for (const std::string& reason : counsel.cures.reasons) out += "    - " + reason + ".\n";
  if (counsel.cures.needed) {
    std::vector<std::vector<std::string>> rows{{"", "change", "work*", "by", "V", "chance any shows", "then most seen", ""}};
    rows.push_back({"as it is", "", "", "", two_digits(counsel.cures.now.judged.visibility), chance_word(counsel.cures.now), counsel.cures.now.joint, ""});
    for (const Cure& c : counsel.cures.mixes) rows.push_back(row_of(study, c, c.when));
    for (const Cure& c : counsel.cures.singles) {
      const auto lever = static_cast<Lever>(std::find_if(c.mix.begin(), c.mix.end(), [](int s) { return s != 0; }) - c.mix.begin());
      rows.push_back(row_of(study, c, lever_text(lever) + " alone"));
      if (c.outcome.judged.visibility > 0.97 * counsel.cures.now.judged.visibility) rows.back().back() = "no help";
    }
    out += table(rows, "    ", colour, study.job.units);
    out += "    ~: by a sketch from a few looks, not looked at itself.\n";
  }
  const Standing& later = counsel.later;
  out += "  Lamps that come later (each alone in the dark, this finish as it is)\n";
  std::vector<std::vector<std::string>> rows{{"lamp", "V", "verdict", "chance any shows", "joint", "seen from"}};
  for (const StandingLamp& l : later.lamps)
    rows.push_back({l.name, two_digits(l.judged.visibility), verdict_text(l.judged.verdict), chance_text(l.chance), l.joint.empty() ? "–" : l.joint, l.viewer.empty() ? "–" : l.viewer});
  out += table(rows, "    ", colour, study.job.units);
  out += "    - " + nearest_lamp_text(study, later) + ".\n";
  if (counsel.standard) out += "  The standard's own word\n    - " + standard_text(study, *counsel.standard) + ".\n";
  return out;
}

}  // namespace rakelight
