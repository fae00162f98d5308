// JSON for other programs; keys as docs/schema. Numbers are rounded to what they are good for, so that two runs
// that agree in substance agree in bytes.
#include <cmath>
#include <nlohmann/json.hpp>

#include "base/text.h"
#include "base/units.h"
#include "joint/dates.h"
#include "joint/fit.h"
#include "report/cures.h"
#include "report/json_parts.h"
#include "report/report.h"

namespace rakelight {
namespace {

Json mm2(dvec2 p) { return Json::array({mm(p.x), mm(p.y)}); }

Json sun_json(const SkyState& sky) {
  if (sky.dark) return nullptr;
  return {{"azimuth_deg", rounded(sky.sun.azimuth * deg_per_rad)},
          {"altitude_deg", rounded(sky.sun.altitude * deg_per_rad)},
          {"apparent_altitude_deg", rounded(sky.sun.apparent_altitude * deg_per_rad)}};
}

/// A quotient of which the divisor may be nothing: null with its reason beside it.
void put_ratio(Json& j, const std::string& key, double value) {
  j[key] = rounded(value, 5);
  if (!std::isfinite(value)) j[key + "_reason"] = "no light arrives on the flat face";
}

Json seen_json(const Study& study, const PlacedJoint& joint, const Seen& s) {
  Json j;
  j["moment"] = study.moments[s.moment].name;
  j["viewer"] = study.viewers[s.viewer].name;
  put_ratio(j, "raking_ratio", s.raking_ratio);
  put_ratio(j, "across_ratio", s.across_ratio);
  j["contrast"] = rounded(s.contrast, 5);
  j["threshold"] = rounded(s.threshold, 5);
  if (!std::isfinite(s.threshold)) j["threshold_reason"] = "no contrast to compare";
  j["visibility"] = rounded(s.judged.visibility, 3);
  j["band"] = Json::array({rounded(s.judged.low, 3), rounded(s.judged.high, 3)});
  j["verdict"] = verdict_text(s.judged.verdict);
  j["borderline"] = s.judged.borderline;
  j["at_mm"] = mm2(joint.line.from + s.station * joint.line.along() + s.offset * joint.line.across());
  return j;
}

Json cost_json(const Cost& c) {
  return {{"hours", range_json(c.hours)}, {"compound_kg", range_json(c.compound_kg)}, {"tape_m", range_json(c.tape_m)},
          {"visits", c.visits}, {"estimate", true}, {"notes", c.notes}};
}

void put_answer(Json& j, const std::string& key, std::optional<bool> answer, const char* why_none) {
  j[key] = answer ? Json(*answer) : Json(nullptr);
  if (!answer) j[key + "_reason"] = why_none;
}

Json judged_json(const Judged& j) {
  return {{"visibility", rounded(j.visibility, 3)}, {"band", Json::array({rounded(j.low, 3), rounded(j.high, 3)})}, {"verdict", verdict_text(j.verdict)},
          {"borderline", j.borderline}};
}

const char* const before_paint = "before it is painted nobody can judge the work";

/// A chance of showing: of the finished work alone.
void put_chance(Json& j, const std::string& key, double chance, PaintStage stage) {
  const bool painted = stage == PaintStage::painted;
  j[key] = painted ? Json(rounded(chance, 3)) : Json(nullptr);
  if (!painted) j[key + "_reason"] = before_paint;
}

Json movement_json(const std::string& what, const Movement& m, const std::vector<MovementResult>& looked_at, bool painted) {
  Json j{{"what", what}, {"text", m.text}, {"usual_mm", mm(m.usual)}, {"bad_mm", mm(m.bad)}, {"usual", nullptr}, {"bad", nullptr}, {"cure", m.cure},
         {"source", m.ground.source}, {"confidence", m.ground.confidence}};
  for (const MovementResult& r : looked_at)
    if (r.what == what) {
      j["usual"] = judged_json(r.usual);
      j["bad"] = judged_json(r.bad);
    }
  if (j["usual"].is_null()) j["reason"] = painted ? "nothing that it moves is in sight at these moments" : before_paint;
  return j;
}

/// What may move in the first heating season: a risk.
Json season_json(const SurfaceResult& r, bool ceiling, bool painted) {
  const Season& s = season();
  Json list = Json::array({movement_json("peaking", s.peaking, r.movements, painted), movement_json("pops", s.pops, r.movements, painted)});
  if (ceiling) {
    list.push_back(movement_json("sag", s.sag, r.movements, painted));
    list.push_back(movement_json("truss lift", s.truss_lift, r.movements, painted));
  }
  return list;
}

Json joint_json(const Study& study, const JointResult& r) {
  const PlacedJoint& placed = r.joint;
  Json j;
  j["id"] = placed.line.id;
  j["kind"] = kind_text(placed.line.kind);
  j["from_mm"] = mm2(placed.line.from);
  j["to_mm"] = mm2(placed.line.to);
  j["crown_mm"] = mm(r.crown);
  j["measured"] = nullptr;
  if (const auto& fit = placed.measured)
    j["measured"] = {{"points", fit->points}, {"spacing_mm", mm(fit->spacing)}, {"noise_mm", mm(fit->noise)}, {"crown_sd_mm", mm(fit->crown_sd)}};
  j["width_mm"] = mm(r.width);
  j["straightedge"] = Json::array();
  for (const StraightedgeReading& s : r.straightedge)
    j["straightedge"].push_back({{"id", s.limit->id}, {"limit", s.limit->text}, {"country", s.limit->country}, {"held", held_text(s.limit->held)},
                                 {"base_mm", mm(s.limit->base)}, {"allowed_mm", mm(s.limit->gap)}, {"gap_mm", mm(s.gap)}, {"ok", s.ok},
                                 {"of_scheme", s.own}, {"confidence", s.limit->ground.confidence}, {"source", s.limit->ground.source}});
  j["rules"] = Json::array();
  for (const RuleReadings& rule : r.rules)
    j["rules"].push_back({{"base_mm", mm(rule.base)}, {"balanced_mm", mm(rule.balanced)}, {"rocked_mm", mm(rule.rocked)},
                          {"bridging_mm", mm(rule.bridging)}, {"feet_mm", mm(rule.feet)}});
  put_answer(j, "in_tolerance", r.in_tolerance(), "no published limit applies");
  put_answer(j, "in_tolerance_of_scheme", r.in_tolerance(true), "the level's scheme names no tolerance at the joint");
  j["seen"] = Json::array();
  for (const Seen& s : r.seen) j["seen"].push_back(seen_json(study, placed, s));
  if (r.worst >= 0) j["worst"] = seen_json(study, placed, r.seen[r.worst]);
  else {
    j["worst"] = nullptr;
    j["worst_reason"] = "nobody can see it at these moments";
  }
  j["will_show"] = r.worst >= 0 ? Json(verdict_text(r.seen[r.worst].judged.verdict)) : Json("not in sight");
  put_chance(j, "chance_shows", r.chance_shows, study.stage);
  j["with_framing"] = nullptr;
  if (r.framing) {
    j["with_framing"] = judged_json(r.framing->together);
    j["with_framing"]["framing_alone"] = judged_json(r.framing->alone);
    j["with_framing"]["governs"] = r.framing_governs();
  } else {
    j["with_framing_reason"] = r.worst < 0 ? "nobody can see it at these moments" : "the job says nothing of the framing";
  }
  j["banding"] = nullptr;
  if (r.banding)
    j["banding"] = {{"relief_alone", judged_json(r.banding->relief)}, {"band_alone", judged_json(r.banding->band)},
                    {"band_contrast", rounded(r.banding->contrast, 5)}, {"governs", r.banding_governs()}};
  else j["banding_reason"] = r.worst < 0 ? "nobody can see it at these moments" : "joint and paper are taken as alike under this paint";
  j["after_heating_season"] = nullptr;
  if (r.later) j["after_heating_season"] = {{"risk", true}, {"usual", judged_json(r.later->usual)}, {"bad", judged_json(r.later->bad)}, {"chance_shows", rounded(r.later->chance_shows, 3)}};
  return j;
}

Json widths_json(const std::vector<double>& widths) {
  Json list = Json::array();
  for (const double w : widths) list.push_back(mm(w));
  return list;
}

Json level_json(const Level& l) {
  Json j{{"id", l.id}, {"title", l.title}, {"tape", l.tape}, {"coats", l.coats}, {"recessed_widths_mm", widths_json(l.recessed_widths)},
         {"butt_widths_mm", widths_json(l.butt_widths)}, {"film", l.film.empty() ? "none" : l.film}, {"film_mm", mm(l.skim)}, {"sealer", l.sealer}};
  j["framing"] = nullptr;
  if (const auto& f = l.framing)
    j["framing"] = {{"gap_mm", mm(f->gap)}, {"base_mm", f->between_members ? Json(nullptr) : mm(f->base)}, {"share", rounded(f->share)},
                    {"rest_mm", mm(f->rest)}, {"source", f->ground.source}, {"confidence", f->ground.confidence}};
  j["backing"] = l.backing ? Json(l.backing->text) : Json(nullptr);
  j["uses"] = Json::array();
  for (const PublishedUse& u : l.uses)
    j["uses"].push_back({{"gloss60", rounded(u.gloss60)}, {"critical_light", u.critical}, {"text", u.text}, {"source", u.ground.source},
                         {"confidence", u.ground.confidence}});
  j["tolerances"] = l.tolerances;
  j["use"] = l.use;
  j["source"] = l.source;
  return j;
}

Json scheme_json(const Scheme& s) {
  Json j{{"id", s.id}, {"title", s.title}, {"source", s.source}, {"standard", s.standard}, {"levels", Json::array()}, {"readings", Json::array()}};
  for (const Level& l : s.levels) j["levels"].push_back(level_json(l));
  for (const Reading& r : s.readings)
    j["readings"].push_back({{"id", r.id}, {"about", r.about}, {"levels", r.levels}, {"usual", r.taken}, {"this", r.says},
                             {"source", r.ground.source}, {"confidence", r.ground.confidence}, {"chosen", r.chosen}});
  return j;
}

Json option_json(const Study& study, const SurfaceAdvice& advice, const Option& o) {
  Json j;
  j["run"] = run_text(study.room, advice.surface, o.finish.run);
  j["level"] = o.finish.level;
  j["change"] = Json::array();
  for (const Change& c : o.changes) j["change"].push_back({{"key", c.key}, {"from", c.from}, {"to", c.to}});
  j["visibility"] = rounded(o.judged.visibility, 3);
  j["band"] = Json::array({rounded(o.judged.low, 3), rounded(o.judged.high, 3)});
  j["verdict"] = verdict_text(o.judged.verdict);
  j["chance_shows"] = rounded(o.chance_any_shows, 3);
  j["joints"] = o.joints;
  j["joint_m"] = rounded(o.joint_metres, 4);
  j["cost"] = cost_json(o.cost);
  return j;
}

Json advice_json(const Study& study, const SurfaceAdvice& advice) {
  Json j;
  if (advice.best < 0) {
    j["run"] = nullptr;
    j["level"] = nullptr;
    j["run_reason"] = "no option could be judged";
  } else {
    const Option& best = advice.options[advice.best];
    j["run"] = run_text(study.room, advice.surface, best.finish.run);
    j["level"] = best.finish.level;
  }
  j["reasons"] = advice.reasons;
  j["options"] = Json::array();
  for (const Option& o : advice.options) j["options"].push_back(option_json(study, advice, o));
  return j;
}

}  // namespace

std::string assess_json(const Study& study, const Assessment& assessment, const Advice& advice, const Counsel& counsel, const std::string& job_name) {
  Json j = heading(&study.job);
  j["job"] = job_name;
  j["title"] = *study.job.title;
  j["stage"] = stage_text(study.stage);
  j["stage_caution"] = study.stage == PaintStage::painted ? Json(nullptr) : Json(stage_caution(study.stage));
  j["scheme"] = scheme_json(study.scheme);
  j["moments"] = Json::array();
  for (const Moment& m : study.moments)
    j["moments"].push_back({{"name", m.name},
                            {"at", m.at_text.empty() ? Json(nullptr) : Json(m.at_text)},
                            {"sun", sun_json(m.sky)},
                            {"sky", m.sky_text},
                            {"note", m.sky.note}});
  j["viewers"] = Json::array();
  for (const Viewer& v : study.viewers)
    j["viewers"].push_back({{"name", v.name},
                            {"eye_mm", Json::array({mm(v.eye.x), mm(v.eye.y), mm(v.eye.z)})},
                            {"surface", v.only_surface < 0 ? Json(nullptr) : Json(study.room.surfaces[v.only_surface].name)}});
  j["surfaces"] = Json::array();
  for (const SurfaceResult& s : assessment.surfaces) {
    Json surface;
    surface["name"] = study.room.surfaces[s.surface].name;
    surface["level"] = s.finish.level;
    surface["run"] = run_text(study.room, s.surface, s.finish.run);
    put_chance(surface, "chance_shows", s.chance_any_shows, study.stage);
    put_chance(surface, "chance_shows_after_heating_season", s.chance_any_shows_later, study.stage);
    surface["risks_after_heating_season"] = season_json(s, study.room.surfaces[s.surface].kind == Surface::Kind::ceiling, study.stage == PaintStage::painted);
    surface["framing"] = nullptr;
    if (s.substrate) surface["framing"] = {{"flatness_mm", mm2(*study.job.framing.flatness)}, {"spacing_mm", mm(s.substrate->spacing)}, {"steepest_mrad", rounded(steepest(*s.substrate) * 1e3, 3)}};
    surface["joints"] = Json::array();
    for (const JointResult& r : s.joints) surface["joints"].push_back(joint_json(study, r));
    surface["advice"] = nullptr;
    for (const SurfaceAdvice& a : advice.surfaces)
      if (a.surface == s.surface) {
        surface["advice"] = advice_json(study, a);
        if (const SurfaceCounsel* c = counsel.of(s.surface)) put_cures(surface["advice"], study, *c);
      }
    if (study.stage != PaintStage::painted) surface["advice_reason"] = before_paint;
    j["surfaces"].push_back(surface);
  }
  put_chance(j, "chance_shows", assessment.chance_any_shows, study.stage);
  put_chance(j, "chance_shows_after_cures", counsel.chance_after, study.stage);
  j["caution"] = "a prediction, not an acceptance ruling";
  return text_of(j);
}

std::string probe_json(const Study& study, int surface, dvec2 p, int moment) {
  const auto index = static_cast<std::size_t>(moment);
  const Lighting& lighting = study.lighting[index];
  const std::vector<SourceShare> shares = light_by_source(lighting, surface, p);
  LightVector total, bounced;
  for (const SourceShare& s : shares) {
    total += s.e;
    if (s.name == "bounce") bounced += s.e;
  }
  const double tangential = glm::length(total.tangential());
  const double infinite = std::numeric_limits<double>::infinity();
  Json j = heading(&study.job);
  j["surface"] = study.room.surfaces[surface].name;
  j["at_mm"] = mm2(p);
  j["moment"] = study.moments[index].name;
  j["sun"] = sun_json(study.moments[index].sky);
  if (study.moments[index].sky.dark) j["sun_reason"] = "lamps only: nothing comes from outside";
  j["illuminance_lux"] = rounded(total.n);
  j["direct_lux"] = rounded(total.n - bounced.n);
  j["bounced_lux"] = rounded(bounced.n);
  j["tangential_lux"] = Json::array({rounded(total.x), rounded(total.y)});
  put_ratio(j, "raking_ratio", total.n > 0 ? tangential / total.n : infinite);
  const bool lit = tangential > 0 || total.n > 0;
  j["raking_elevation_deg"] = lit ? rounded(std::atan2(total.n, tangential) * deg_per_rad) : Json(nullptr);
  j["raking_direction_deg"] = tangential > 0 ? rounded(std::atan2(total.y, total.x) * deg_per_rad) : Json(nullptr);
  if (!(tangential > 0)) j["raking_direction_reason"] = "the light has no direction along the face";
  j["sources"] = Json::array();
  for (const SourceShare& s : shares)
    j["sources"].push_back({{"name", s.name},
                            {"illuminance_lux", rounded(s.e.n)},
                            {"tangential_lux", Json::array({rounded(s.e.x), rounded(s.e.y)})}});
  return text_of(j);
}

std::string sight_json(double luminance, double width, double distance) {
  const LeastContrast least = least_contrast(luminance, width, distance);
  Json j = heading(nullptr);
  j["luminance_cd_m2"] = rounded(luminance);
  j["distance_mm"] = mm(distance);
  j["width_mm"] = mm(width);
  j["cycles_per_degree"] = rounded(least.cycles_per_degree);
  j["threshold_contrast"] = rounded(least.threshold);
  if (!std::isfinite(least.threshold)) j["threshold_contrast_reason"] = "too fine or too dark to be seen at any contrast";
  return text_of(j);
}

}  // namespace rakelight
