#include "window/words.h"

#include <cctype>
#include <cmath>
#include <fmt/format.h>

#include "base/inches.h"
#include "base/text.h"
#include "base/units.h"
#include "cost/cost.h"
#include "report/words.h"

namespace rakelight {

std::string face_text(const Room& room, int surface) {
  const Surface& s = room.surfaces[surface];
  return s.kind == Surface::Kind::wall ? s.name + " wall" : s.name;
}

std::string when_text(const MomentSpec& moment) {
  static const char* const months[] = {"January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November", "December"};
  if (!moment.time.given) return *moment.name;
  const LocalTime& t = *moment.time;
  return fmt::format("{} {} {:02}:{:02}", t.day, months[std::clamp(t.month, 1, 12) - 1], t.hour, t.minute);
}

std::string where_text(const std::string& viewer) {
  if (viewer == "here") return "from here";
  if (viewer.starts_with("along ")) return viewer;
  if (viewer.starts_with("inspection") || viewer == "square on") return "square on";
  return "from the " + viewer;
}

std::string band_words(const Judged& judged) { return two_digits(judged.low) + "–" + two_digits(judged.high); }

std::string length_words(Units units, double metres) { return units == Units::inch ? feet_text(metres) : fmt::format("{:.0f} mm", metres * mm_per_m); }

std::string upper_first(std::string text) {
  if (!text.empty()) text[0] = static_cast<char>(std::toupper(static_cast<unsigned char>(text[0])));
  return text;
}

Counts counts_of(const SurfaceResult& result) {
  Counts c;
  for (const JointResult& j : result.joints) {
    ++c.joints;
    if (j.worst < 0) continue;
    c.shows += j.seen[j.worst].judged.verdict == Verdict::shows;
    c.faint += j.seen[j.worst].judged.verdict == Verdict::faint;
  }
  return c;
}

const SurfaceResult* result_of(const std::vector<SurfaceResult>& results, const Room& room, const std::string& surface) {
  for (const SurfaceResult& r : results)
    if (room.surfaces[r.surface].name == surface) return &r;
  return nullptr;
}
const SurfaceResult* result_of(const Assessment& assessment, const Room& room, const std::string& surface) { return result_of(assessment.surfaces, room, surface); }

std::vector<std::string> chip_lines(const Found& found, const HereFound* here, const std::string& surface) {
  if (!found.study) return {};
  const Study& study = *found.study;
  const int index = study.room.find(surface);
  if (index < 0 || study.room.surfaces[index].spec < 0) return {};
  const Finish finish = requested_finish(study, index);
  const SurfaceSpec& spec = study.job.surfaces[study.room.surfaces[index].spec];
  const Layout& layout = study.layouts[index];
  int butts = 0;
  double metres = 0;
  for (const JointLine& joint : layout.joints)
    if (joins_sheets(joint.kind)) {
      butts += is_end(joint.kind);
      metres += joint.length();
    }
  const std::string paint = spec.paint.name->empty() ? "own gloss" : *spec.paint.name;
  std::vector<std::string> lines{fmt::format("level {} · {} · {}", finish.level, run_text(study.room, index, finish.run), paint),
                                 fmt::format("{} sheets · {} butt{} · {} m of joints", layout.sheets.size(), butts, butts == 1 ? "" : "s", fixed_text(metres, 1))};
  const SurfaceResult* worst = found.assessment ? result_of(*found.assessment, study.room, surface) : nullptr;
  if (worst) {
    const Counts c = counts_of(*worst);
    std::string shows = fmt::format("{} of {} show, {} faint", c.shows, c.joints, c.faint);
    const SurfaceResult* now = here ? result_of(here->surfaces, study.room, surface) : nullptr;
    if (now) shows += fmt::format("; now, here {}", counts_of(*now).shows);
    else if (!here) shows += "; now, here …";
    else if (!here->trouble.empty()) shows += "; no such time";
    lines.push_back(shows);
    const Cost cost = cost_of(study, *worst);
    lines.push_back(fmt::format("{}–{} h · {} visits", fixed_text(cost.hours.low, 1), fixed_text(cost.hours.high, 1), cost.visits));
  } else {
    lines.push_back("looking at every joint …");
  }
  return lines;
}

std::string place_text(const Model& model, const Study& study) {
  const int facing = model.place ? study.room.find(model.place->facing) : -1;
  if (facing >= 0) return face_text(study.room, facing) + ", square on";
  return "seen " + where_text(model.place ? model.place->viewer : "here");
}

std::vector<std::string> caption_lines(const Study& study, const Pictures& pictures) {
  std::string contrast = "contrast true";
  if (!pictures.view.relief) contrast = "AS IF EVERY JOINT WERE FLAT";
  else if (pictures.view.amplify != 1) contrast = fmt::format("RELIEF SHADE ×{}", number_text(pictures.view.amplify));
  return {fmt::format("{} · {}", *study.job.title, pictures.place), pictures.moment_text,
          fmt::format("white = {} cd/m² · {} · a prediction, not an acceptance ruling", number_text(pictures.white < 10 ? std::round(pictures.white * 100) / 100 : std::round(pictures.white)), contrast)};
}

}  // namespace rakelight
