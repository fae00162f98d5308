#include "report/measure.h"

#include <cmath>
#include <fmt/format.h>
#include <fmt/ranges.h>

#include "advice/cure_words.h"
#include "base/inches.h"
#include "base/text.h"
#include "base/units.h"
#include "report/cures.h"
#include "report/in_units.h"
#include "report/json_parts.h"
#include "report/words.h"

namespace rakelight {
namespace {

Json judged_json(const Judged& j) {
  return {{"visibility", rounded(j.visibility, 3)}, {"band", Json::array({rounded(j.low, 3), rounded(j.high, 3)})}, {"verdict", verdict_text(j.verdict)}, {"borderline", j.borderline}};
}

void put_seen(Json& j, const std::string& key, const SeenFrom& s) {
  j[key] = nullptr;
  if (!s.seen) {
    j[key + "_reason"] = "not in sight from there at these moments";
    return;
  }
  j[key] = judged_json(s.judged);
  j[key]["visibility_of_measurement"] = Json::array({rounded(s.low.visibility, 3), rounded(s.high.visibility, 3)});
  j[key]["chance_shows"] = rounded(s.chance, 3);
  j[key]["across_ratio"] = rounded(s.across, 3);
  j[key]["moment"] = s.moment;
  j[key]["viewer"] = s.viewer;
}

}  // namespace

std::string measure_json(const Study& study, const Measured& m) {
  const FittedSection& fit = *m.fit;
  Json j = heading(&study.job);
  j["title"] = *study.job.title;
  j["joint"] = m.line.id;
  j["kind"] = kind_text(m.line.kind);
  Json& was = j["measured"] = Json{{"by", m.gap ? "rule" : "points"}, {"crown_mm", mm(fit.crown)}, {"crown_sd_mm", mm(fit.crown_sd)}, {"width_mm", mm(m.width)}};
  was["rule"] = nullptr;
  was["points"] = nullptr;
  if (m.gap)
    was["rule"] = {{"gap_mm", mm(m.gap->gap)}, {"base_mm", mm(m.gap->base)}, {"held", held_text(m.gap->hollow ? Held::bridging : Held::balanced)}, {"shorter_than_the_joint", m.rule_too_short}};
  else
    was["points"] = {{"count", fit.points}, {"spacing_mm", mm(fit.spacing)}, {"noise_mm", mm(fit.noise)}};
  was["profile"] = Json::array();
  // every 5 mm, or all there are
  const int stride = std::max(1, static_cast<int>(std::lround(5e-3 / fit.face.step)));
  for (int i = 0; i < fit.face.size(); i += stride) was["profile"].push_back(Json::array({mm(fit.face.offset(i)), mm(fit.face.height[static_cast<std::size_t>(i)]), mm(fit.sd[static_cast<std::size_t>(i)])}));
  j["rules"] = Json::array();
  for (const RuleReadings& r : m.rules)
    j["rules"].push_back({{"base_mm", mm(r.base)}, {"balanced_mm", mm(r.balanced)}, {"rocked_mm", mm(r.rocked)}, {"bridging_mm", mm(r.bridging)}, {"feet_mm", mm(r.feet)}});
  bool in = true;
  j["straightedge"] = Json::array();
  for (const StraightedgeReading& s : m.straightedge) {
    in = in && s.ok;
    j["straightedge"].push_back({{"id", s.limit->id}, {"limit", s.limit->text}, {"country", s.limit->country}, {"held", held_text(s.limit->held)}, {"base_mm", mm(s.limit->base)},
                                 {"allowed_mm", mm(s.limit->gap)}, {"gap_mm", mm(s.gap)}, {"ok", s.ok}, {"of_scheme", s.own}, {"confidence", s.limit->ground.confidence}, {"source", s.limit->ground.source}});
  }
  j["in_tolerance"] = m.straightedge.empty() ? Json(nullptr) : Json(in);
  if (m.straightedge.empty()) j["in_tolerance_reason"] = "no published limit applies";
  put_seen(j, "inspection", m.inspection);
  put_seen(j, "living", m.living);
  j["visibility_with_fine_marks"] = m.with_fine_marks > 0 ? rounded(m.with_fine_marks, 3) : Json(nullptr);
  if (!(m.with_fine_marks > 0)) j["visibility_with_fine_marks_reason"] = "readings near enough, or nothing that they would add";
  j["aim"] = rounded(m.aim, 3);
  j["needed"] = m.needed;
  j["cures"] = Json::array();
  for (const Cure& c : m.cures) j["cures"].push_back(cure_json(study, c));
  j["lamp"] = nullptr;
  if (const LampHold& l = m.lamp; l.found)
    j["lamp"] = {{"moment", l.moment}, {"viewer", l.viewer}, {"at_mm", Json::array({mm(l.at.x), mm(l.at.y), mm(l.at.z)})}, {"joint_at_mm", Json::array({mm(l.joint_at.x), mm(l.joint_at.y)})},
                 {"along_mm", mm(l.along)}, {"off_mm", mm(l.off)}, {"side", l.side}, {"across_ratio", rounded(l.lamp_across, 3)}, {"across_ratio_then", rounded(l.across, 3)},
                 {"visibility", rounded(l.lamp_visibility, 3)}, {"visibility_then", rounded(l.visibility, 3)}};
  else
    j["lamp_reason"] = "no daylight of the job crosses it, or no place for a lamp gives as much";
  j["reasons"] = m.reasons;
  j["caution"] = "a prediction, not an acceptance ruling";
  return text_of(j);
}

std::string measure_text(const Study& study, const Measured& m, bool colour) {
  std::string out = *study.job.title + "\n" + fmt::format("{}: {}, measured\n", m.line.id, kind_text(m.line.kind));
  for (const std::string& reason : m.reasons) out += "  - " + reason + ".\n";

  std::vector<std::vector<std::string>> rows{{"", "at the inspection position", "living in the room"}};
  const auto row = [&](const char* name, auto&& of) {
    rows.push_back({name, m.inspection.seen ? of(m.inspection) : std::string("not in sight"), m.living.seen ? of(m.living) : std::string("not in sight")});
  };
  row("verdict", [](const SeenFrom& s) { return verdict_text(s.judged.verdict) + (s.judged.borderline ? ", borderline" : ""); });
  row("V, band", [](const SeenFrom& s) { return two_digits(s.judged.visibility) + ", " + band_text(s.judged); });
  row("V as measured ± 1 sd", [](const SeenFrom& s) { return two_digits(s.low.visibility) + "–" + two_digits(s.high.visibility); });
  row("chance that it shows", [](const SeenFrom& s) { return chance_text(s.chance); });
  row("when", [](const SeenFrom& s) { return s.moment; });
  row("seen from", [](const SeenFrom& s) { return s.viewer; });
  row("light across it", [](const SeenFrom& s) { return two_digits(s.across) + " to 1"; });
  out += table(rows, "  ", colour);

  const Units units = study.job.units;
  out += units == Units::inch ? "  Under a rule, inches\n" : "  Under a rule, mm\n";
  rows = {{"rule", "balanced", "rocked", "bridging", "on feet"}};
  const auto number = [&](double metres) { return units == Units::inch ? fixed_text(metres * mm_per_m / mm_per_inch, 3) : fixed_text(metres * mm_per_m, 1); };
  for (const RuleReadings& r : m.rules) rows.push_back({units == Units::inch ? feet_text(r.base) : fixed_text(r.base * mm_per_m, 0), number(r.balanced), number(r.rocked), number(r.bridging), number(r.feet)});
  out += table(rows, "    ", colour, study.job.units);
  std::vector<std::string> broken;
  for (const StraightedgeReading& s : m.straightedge)
    if (!s.ok) broken.push_back(fmt::format("{} ({}, {}): {} mm", s.limit->text, s.limit->country, s.limit->ground.confidence, fixed_text(s.gap * mm_per_m, 1)));
  out += m.straightedge.empty() ? "  No published limit applies.\n"
         : broken.empty()       ? fmt::format("  In tolerance: inside all {} published limits looked at. In tolerance and invisible are two answers.\n", m.straightedge.size())
                                : fmt::format("  Out of tolerance by {}.\n", fmt::join(broken, "; "));
  if (!m.cures.empty()) {
    out += "  What cures it, the least work first; then, each alone, what lowers it most\n";
    rows = {{"change", "work*", "by", "V", "chance that it shows", ""}};
    rows.push_back({"as it is", "", "", two_digits(m.now.judged.visibility), chance_text(m.now.chance), ""});
    for (const Cure& c : m.cures)
      rows.push_back({mix_text(c), hours_text(c.hours), fmt::format("{}", fmt::join(c.by, ", ")), two_digits(c.outcome.judged.visibility), (c.outcome.looked ? "" : "~ ") + chance_text(c.outcome.chance), c.reached ? "enough" : ""});
    out += table(rows, "    ", colour, study.job.units);
    out += "    *: estimates from memory, touching up the paint not counted. ~: by a sketch from a few looks.\n";
  }
  out += "A prediction, not an acceptance ruling. This joint by itself, in the light of the job's moments.\n"
         "Sanding: wet or vacuum-sand and wear a respirator (silica); old walls may hold asbestos or lead: test first.\n";
  return in_units(units, out);
}

}  // namespace rakelight
