// Cures for programs.
#include <cmath>

#include "advice/cure_words.h"
#include "base/units.h"
#include "report/cures.h"

namespace rakelight {
namespace {

Json tenths_mm(double metres) { return std::round(metres * mm_per_m * 10.0) / 10.0 + 0.0; }

void put_judged(Json& j, const Judged& judged) {
  j["visibility"] = rounded(judged.visibility, 3);
  j["band"] = Json::array({rounded(judged.low, 3), rounded(judged.high, 3)});
  j["verdict"] = verdict_text(judged.verdict);
}

Json outcome_json(const Study& study, const Outcome& o) {
  Json j{{"chance_shows", rounded(o.chance, 3)}};
  put_judged(j, o.judged);
  j["joint"] = o.joint.empty() ? Json(nullptr) : Json(o.joint);
  if (o.joint.empty()) j["joint_reason"] = "nothing is in sight";
  j["moment"] = o.moment < 0 || o.joint == "framing" ? Json(nullptr) : Json(study.moments[static_cast<std::size_t>(o.moment)].name);
  j["looked_at"] = o.looked;
  return j;
}

}  // namespace

Json cure_json(const Study& study, const Cure& c) {
  Json j{{"text", mix_text(c)}, {"when", c.when}, {"what", c.what}, {"by", c.by}, {"change", Json::array()}, {"extra_hours", range_json(c.hours)}, {"estimate", true},
         {"enough", c.reached}, {"then", outcome_json(study, c.outcome)}};
  for (const Change& change : c.changes) j["change"].push_back({{"key", change.key}, {"from", change.from}, {"to", change.to}});
  return j;
}

void put_cures(Json& advice, const Study& study, const SurfaceCounsel& counsel) {
  const SurfaceCures& c = counsel.cures;
  Json cures{{"aim", rounded(c.aim, 3)}, {"needed", c.needed}, {"now", outcome_json(study, c.now)}, {"mixes", Json::array()}, {"singles", Json::array()}, {"no_width_cures", Json::array()},
             {"reasons", c.reasons}};
  for (const Cure& m : c.mixes) cures["mixes"].push_back(cure_json(study, m));
  for (const Cure& m : c.singles) cures["singles"].push_back(cure_json(study, m));
  for (const WidthLimit& w : c.no_width)
    cures["no_width_cures"].push_back({{"joint", w.joint}, {"crown_mm", tenths_mm(w.crown)}, {"across_ratio", rounded(w.across, 3)}, {"widest_mm", tenths_mm(w.width)},
                                       {"visibility_there", rounded(w.visibility, 3)}, {"chance_shows_there", rounded(w.chance, 3)}, {"needed_mm", tenths_mm(w.needed)}});
  advice["cures"] = std::move(cures);

  const Standing& s = counsel.later;
  Json later{{"lamps", Json::array()}};
  for (const StandingLamp& l : s.lamps) {
    Json j{{"lamp", l.name}, {"chance_shows", rounded(l.chance, 3)}};
    put_judged(j, l.judged);
    j["joint"] = l.joint.empty() ? Json(nullptr) : Json(l.joint);
    if (l.joint.empty()) j["joint_reason"] = "no joint in sight is lit across";
    later["lamps"].push_back(std::move(j));
  }
  later["no_closer_than_mm"] = s.answer == Standing::Nearest::any || s.answer == Standing::Nearest::some ? tenths_mm(s.nearest) : Json(nullptr);
  if (s.answer == Standing::Nearest::none) later["no_closer_than_reason"] = "at no distance looked at";
  if (s.answer == Standing::Nearest::not_asked) later["no_closer_than_reason"] = "downlights let into it do not light it";
  later["text"] = nearest_lamp_text(study, s);
  advice["lamps_later"] = std::move(later);

  advice["standard"] = nullptr;
  if (const auto& standard = counsel.standard) {
    Json j{{"level", standard->level.empty() ? Json(nullptr) : Json(standard->level)}};
    if (standard->level.empty()) j["level_reason"] = "none is published for this paint in this light";
    j["critical_light"] = standard->critical;
    j["raking_ratio"] = rounded(standard->hardest, 3);
    j["gloss60"] = rounded(standard->gloss60, 3);
    j["source"] = standard->source;
    j["confidence"] = standard->confidence;
    j["chance_shows"] = rounded(standard->chance, 3);
    j["computed_level"] = standard->ours;
    j["same"] = standard->same;
    j["text"] = standard_text(study, *standard);
    advice["standard"] = std::move(j);
  } else {
    advice["standard_reason"] = "the scheme names no uses of its levels";
  }
}

}  // namespace rakelight
