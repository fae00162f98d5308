// The year for other programs; keys as docs/schema/year.json.
#include <cmath>
#include <fmt/format.h>

#include "base/text.h"
#include "base/units.h"
#include "report/json_parts.h"
#include "report/year.h"

namespace rakelight {
namespace {

std::string stamp(const YearReport& r, double jd) {
  const ClockTime t = clock_time(r.study.job.site, jd);
  return fmt::format("{:04}-{:02}-{:02} {}", r.year.year, t.month, t.day, clock_text(t.hours));
}

Json joint_json(const YearReport& r, const YearJoint& joint) {
  Json j;
  j["id"] = joint.id;
  j["shows_hours"] = rounded(joint.shows_hours, 4);
  j["faint_hours"] = rounded(joint.faint_hours, 4);
  if (joint.worst.visibility <= 0) {
    j["worst"] = nullptr;
    j["worst_reason"] = "nobody can see it by daylight";
    return j;
  }
  const VerdictSpec& rules = r.study.job.verdict;
  const Judged v = judge(joint.worst.visibility / *rules.gain, *rules.gain, *rules.band, *rules.faint, *rules.shows);
  j["worst"] = {{"at", stamp(r, joint.worst_at)},
                {"viewer", r.study.viewers[joint.worst.viewer].name},
                {"raking_ratio", rounded(joint.worst.raking_ratio, 4)},
                {"visibility", rounded(v.visibility, 3)},
                {"band", Json::array({rounded(v.low, 3), rounded(v.high, 3)})},
                {"verdict", verdict_text(v.verdict)},
                {"borderline", v.borderline}};
  return j;
}

}  // namespace

std::string year_json(const YearReport& r, const std::string& job_name) {
  Json j = heading(&r.study.job);
  j["job"] = job_name;
  j["title"] = *r.study.job.title;
  j["year"] = r.year.year;
  j["sky"] = type_text(r.year.sky_type);
  j["weighted_by"] = r.climate ? Json(r.climate->place) : Json(nullptr);
  j["surfaces"] = Json::array();
  for (std::size_t f = 0; f < r.year.faces.size(); ++f) {
    const YearFace& face = r.year.faces[f];
    Json s;
    s["name"] = r.study.room.surfaces[face.surface].name;
    s["shows_days"] = face.shows_days;
    s["shows_hours"] = rounded(face.shows_hours, 4);
    s["faint_hours"] = rounded(face.faint_hours, 4);
    s["expected_shows_hours"] = face.expected_shows_hours < 0 ? Json(nullptr) : rounded(face.expected_shows_hours, 4);
    s["lamps_alone"] = nullptr;
    for (const LampsAlone& l : r.lamps)
      if (l.surface == face.surface && !l.joint.empty())
        s["lamps_alone"] = {{"moment", l.moment}, {"joint", l.joint}, {"visibility", rounded(l.judged.visibility, 3)},
                            {"band", Json::array({rounded(l.judged.low, 3), rounded(l.judged.high, 3)})},
                            {"verdict", verdict_text(l.judged.verdict)}, {"borderline", l.judged.borderline}};
    s["joints"] = Json::array();
    for (const YearJoint& joint : face.joints) s["joints"].push_back(joint_json(r, joint));
    s["stretches"] = Json::array();
    for (const YearDay& d : r.year.days)
      for (const YearRun& run : d.runs[f])
        s["stretches"].push_back({{"from", stamp(r, run.from)},
                                  {"hours", rounded(run.hours(), 4)},
                                  {"verdict", verdict_text(run.verdict)},
                                  {"visibility", rounded(run.visibility, 3)},
                                  {"joint", face.joints[static_cast<std::size_t>(run.joint)].id},
                                  {"raking_ratio", rounded(run.raking_ratio, 4)}});
    j["surfaces"].push_back(s);
  }
  j["caution"] = "a prediction, not an acceptance ruling";
  return text_of(j);
}

}  // namespace rakelight
