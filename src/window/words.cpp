#include "window/words.h"

#include <cctype>
#include <cmath>
#include <fmt/format.h>

#include "base/inches.h"
#include "base/say.h"
#include "base/text.h"
#include "base/units.h"
#include "cost/cost.h"
#include "report/in_units.h"
#include "report/words.h"

namespace rakelight {

namespace {
// words that other folders give and that are said as they are
[[maybe_unused]] constexpr const char* given[] = {
    later("hidden"), later("faint"), later("shows"), later("horizontal"), later("upright"),
    later("clear"), later("overcast"), later("intermediate"), later("auto"),
    later("dead-matt"), later("matt"), later("low-sheen"), later("eggshell"), later("satin"), later("semi-gloss"), later("gloss"),
    later("recessed"), later("half-round"), later("square"), later("chamfered"), later("cut-to-recessed"), later("cut-to-cut"), later("butt"),
    later("backed butt"), later("internal corner"), later("square-set"), later("external corner"), later("bead"), later("shadow-line"), later("fixings"),
};
}  // namespace

std::string face_text(const Room& room, int surface) {
  const Surface& s = room.surfaces[surface];
  if (s.kind == Surface::Kind::wall) return say("{} wall", s.name);
  return s.name == "ceiling" ? say("ceiling") : s.name == "floor" ? say("floor") : s.name;
}

std::string when_text(const MomentSpec& moment) {
  static constexpr const char* months[] = {later("January"), later("February"), later("March"), later("April"), later("May"), later("June"),
                                           later("July"), later("August"), later("September"), later("October"), later("November"), later("December")};
  if (!moment.time.given) return *moment.name;
  const LocalTime& t = *moment.time;
  return say("{} {} {:02}:{:02}", t.day, phrase(months[std::clamp(t.month, 1, 12) - 1]), t.hour, t.minute);
}

std::string where_text(const std::string& viewer) {
  if (viewer == "here") return say("from here");
  if (viewer.starts_with("along ")) return say("along {}", viewer.substr(6));
  if (viewer.starts_with("inspection") || viewer == "square on") return say("square on");
  if (viewer == "doorway") return say("from the doorway");
  if (viewer == "seated") return say("seated, from the middle");
  return say("from the {}", viewer);
}

std::string kind_words(JointKind kind) { return std::string(phrase(kind_text(kind))); }
std::string verdict_words(Verdict verdict) { return std::string(phrase(verdict_text(verdict))); }
std::string run_words(const Room& room, int surface, Run run) {
  const std::string english = run_text(room, surface, run);
  return english.starts_with("towards ") ? say("towards {}", english.substr(8)) : std::string(phrase(english));
}

std::string sky_words(const std::string& sky) { return sky.starts_with("auto: ") ? say("auto: {}", phrase(sky.substr(6))) : std::string(phrase(sky)); }

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

std::string counts_words(const Counts& c) {
  if (c.joints == 0) return say("no joints");
  std::string text = c.shows == 0 ? say("none of {} joints shows", c.joints) : c.shows == 1 ? say("1 of {} joints shows", c.joints) : say("{} of {} joints show", c.shows, c.joints);
  if (c.faint > 0) text += say(", {} faint", c.faint);
  return text;
}

std::optional<ChipWords> chip_words(const Found& found, const HereFound* here, const std::string& surface) {
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
  const std::string paint = spec.paint.name->empty() ? say("own gloss") : std::string(phrase(*spec.paint.name));
  const std::string long_joints = fixed_text(metres, 1);
  ChipWords words;
  words.what = say("level {} · {} · {}", finish.level, run_words(study.room, index, finish.run), paint);
  words.sheets = in_units(study.job.units, butts == 1 ? say("{} sheets · 1 butt · {} m of joints", layout.sheets.size(), long_joints)
                                                      : say("{} sheets · {} butts · {} m of joints", layout.sheets.size(), butts, long_joints));
  const SurfaceResult* worst = found.assessment ? result_of(*found.assessment, study.room, surface) : nullptr;
  if (!worst) {
    words.shows = say("looking at every joint") + " …";
    return words;
  }
  const Counts c = counts_of(*worst);
  words.shows = counts_words(c);
  words.verdict = c.worst();
  const SurfaceResult* now = here ? result_of(here->surfaces, study.room, surface) : nullptr;
  words.here = now ? say("at this time, from here: {} of {}", counts_of(*now).shows, c.joints) : !here ? say("at this time, from here: …") : !here->trouble.empty() ? say("there is no such time") : "";
  const Cost cost = cost_of(study, *worst);
  words.hours = say("{}–{} h of finishing · {} visits", fixed_text(cost.hours.low, 1), fixed_text(cost.hours.high, 1), cost.visits);
  return words;
}

std::string way_words(const Study& study, int surface, const Way& way) {
  const Units units = study.job.units;
  const bool inches = units == Units::inch;
  const auto size = [&](double m) { return inches ? length_words(units, m) : fixed_text(m * mm_per_m, 0); };
  const std::string unit = inches ? "" : " mm";
  const SurfaceSpec& spec = study.job.surfaces[study.room.surfaces[surface].spec];
  std::string text = say("{}, sheets {} × {}", run_words(study.room, surface, way.run), size(spec.sheet->x), size(way.length)) + unit;
  if (way.first_row > 0) text += say(", first row {}", size(way.first_row)) + unit;
  if (way.first_sheets.empty()) {
    const Rect& box = study.room.surfaces[surface].box;
    const bool one = (way.run == Run::horizontal ? box.width() : box.height()) <= way.length + 0.010;
    return text + (one ? say(", one sheet from edge to edge") : say(", running bond"));
  }
  std::string firsts;
  for (const double f : way.first_sheets) firsts += (firsts.empty() ? "" : ", ") + size(f);
  return text + (way.first_sheets.size() > 1 ? say(", first sheets {}", firsts) : say(", first sheet {}", firsts)) + unit;
}

std::string place_text(const Model& model, const Study& study) {
  const int facing = model.place ? study.room.find(model.place->facing) : -1;
  if (facing >= 0) return say("{}, square on", face_text(study.room, facing));
  return say("seen {}", where_text(model.place ? model.place->viewer : "here"));
}

std::vector<std::string> caption_lines(const Study& study, const Pictures& pictures) {
  std::string contrast = say("contrast true");
  if (!pictures.view.relief) contrast = say("AS IF EVERY JOINT WERE FLAT");
  else if (pictures.view.amplify != 1) contrast = say("RELIEF SHADE ×{}", number_text(pictures.view.amplify));
  std::string place = pictures.place;
  if (pictures.figure_asked) place += " · " + (pictures.figure ? say("figure {} m", "1.75") : say("no room for a figure beside this face"));
  const bool grained = std::any_of(study.paints.begin(), study.paints.end(), [](const Paint& p) { return !p.stipple.empty(); });
  if (pictures.view.stipple) place += " · " + (grained ? say("stipple, its pattern invented") : say("no paint here has a stipple"));
  return {fmt::format("{} · {}", *study.job.title, place), pictures.moment_text,
          say("white = {} cd/m² · {} · a prediction, not an acceptance ruling", number_text(pictures.white < 10 ? std::round(pictures.white * 100) / 100 : std::round(pictures.white)), contrast)};
}

}  // namespace rakelight
