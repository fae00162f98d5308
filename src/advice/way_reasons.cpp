// Why a way of laying is the best, in words with numbers.
#include <algorithm>
#include <cctype>
#include <cmath>
#include <fmt/format.h>

#include "advice/advice.h"
#include "advice/way_round.h"
#include "base/text.h"
#include "base/units.h"
#include "room/say.h"

namespace rakelight {
namespace {

/// A length without its unit, as the job writes it.
/// A number of the job's unit, as in a job file.
std::string bare(Units units, double m) {
  const double mm = m * mm_per_m;
  return number_text(units == Units::inch ? std::round(mm / mm_per_inch * 100) / 100 : std::round(mm * 10) / 10);
}
/// The same for people, where the unit follows: inches bring their own.
std::string spoken(Units units, double m) { return units == Units::inch ? length_text(units, m) : bare(units, m); }

std::string metres(double m) { return fixed_text(m, 1) + " m"; }

std::string counted(int n, const char* noun) { return fmt::format("{} {}{}", n, noun, n == 1 ? "" : "s"); }

std::string broken(int n) { return fmt::format("{} breach{}", n, n == 1 ? "" : "es"); }

std::string capital(std::string text) {
  text[0] = static_cast<char>(std::toupper(static_cast<unsigned char>(text[0])));
  return text;
}

std::string outcome(const WayOption& o) {
  return fmt::format("{} of {} of joint expected to show, {}{} bought, {} hours (estimate)", metres(o.visible), metres(o.long_metres + o.end_metres),
                     o.end_metres < 0.01 ? "no butts, " : metres(o.end_metres) + " of it butts, ", counted(o.stock, "sheet"), fixed_text(o.hours, 1));
}

std::string beside(const WayOption& best, const WayOption& other) {
  std::string text;
  auto add = [&](const std::string& what) { text += (text.empty() ? "" : ", ") + what; };
  const double seen = other.visible - best.visible;
  if (std::abs(seen) >= 0.05) add(fmt::format("{} {} to be seen", metres(std::abs(seen)), seen > 0 ? "more" : "less"));
  if (std::abs(other.hours - best.hours) >= 0.05) add(fmt::format("{} hours {}", fixed_text(std::abs(other.hours - best.hours), 1), other.hours > best.hours ? "more" : "less"));
  const double area = other.bought - best.bought;
  if (std::abs(area) >= 0.05) add(fmt::format("{} m² {} bought", fixed_text(std::abs(area), 1), area > 0 ? "more" : "less"));
  if (other.breaches > best.breaches) add(broken(other.breaches - best.breaches) + " of rules more");
  return text.empty() ? "the same in everything that counts" : text;
}

}  // namespace

std::string way_text(const Study& study, int surface, const Way& way) {
  const Units units = study.job.units;
  const SurfaceSpec& spec = study.job.surfaces[study.room.surfaces[surface].spec];
  std::string text = fmt::format("{}, sheets {} × {}", run_text(study.room, surface, way.run), spoken(units, spec.sheet->x), length_text(units, way.length));
  if (way.first_row > 0) text += ", first row " + length_text(units, way.first_row);
  if (way.first_sheets.empty()) {
    const Rect& box = study.room.surfaces[surface].box;
    const bool one = (way.run == Run::horizontal ? box.width() : box.height()) <= way.length + 0.010;
    return text + (one ? ", one sheet from edge to edge" : ", running bond");
  }
  text += way.first_sheets.size() > 1 ? ", first sheets " : ", first sheet ";
  for (std::size_t i = 0; i < way.first_sheets.size(); ++i) text += (i > 0 ? ", " : "") + spoken(units, way.first_sheets[i]);
  return text + (units == Units::inch ? "" : " mm");
}

std::vector<std::string> way_keys(const Study& study, int surface, const Way& way) {
  const Units units = study.job.units;
  const SurfaceSpec& spec = study.job.surfaces[study.room.surfaces[surface].spec];
  std::string run = run_text(study.room, surface, way.run);
  if (run.starts_with("towards ")) run = run.substr(8);
  std::vector<std::string> out{fmt::format("run = \"{}\"", run), fmt::format("sheet = [{}, {}]", bare(units, spec.sheet->x), bare(units, way.length))};
  if (way.first_row > 0) out.push_back("first_row = " + bare(units, way.first_row));
  if (!way.first_sheets.empty()) {
    std::string list;
    for (double f : way.first_sheets) list += (list.empty() ? "" : ", ") + bare(units, f);
    out.push_back("first_sheets = [" + list + "]");
  }
  return out;
}

std::vector<std::string> way_reasons(const Study& study, const FaceWays& ways, const ShowField& field) {
  std::vector<std::string> out;
  auto say = [&](const std::string& text) { out.push_back(text + "."); };
  const WayOption& best = ways.winner();
  say(capital(way_text(study, ways.surface, best.way)) + ": " + outcome(best));
  // the light and the two kinds of joint
  const bool ceiling = study.room.surfaces[ways.surface].kind == Surface::Kind::ceiling;
  const std::string x = ceiling ? "along plan x" : "level", y = ceiling ? "along plan y" : "upright";
  const double long_x = field.mean(JointClass::long_edge, true), long_y = field.mean(JointClass::long_edge, false);
  const double end_x = field.mean(JointClass::end, true), end_y = field.mean(JointClass::end, false);
  say(fmt::format("In this light a long joint shows over {} of its length where it lies {}, over {} where {}; a butt over {} and {}", chance_text(long_x), x, chance_text(long_y), y,
                  chance_text(end_x), chance_text(end_y)));
  const bool flat = best.way.run == Run::horizontal;
  if (best.end_metres < 0.01)
    say(best.long_metres < 0.01 ? "One sheet covers the face"
                                : fmt::format("It has no butts: one sheet reaches from edge to edge{}", (flat ? long_x : long_y) < (flat ? long_y : long_x) ? ", and its long joints lie along the light" : ""));
  else if (std::max(long_x, long_y) > 0.01 && (flat ? long_x : long_y) < 0.7 * (flat ? long_y : long_x))
    say("Its long joints lie along the light; the butts, square across it, are as few as these lengths allow and stand where they are seen least");
  if (ways.locked) say("The face is part of a tested system: its direction was not searched, and joints, backing and fixing come from that system");
  if (ways.as_asked.way == best.way) say("That is as asked");
  else say(fmt::format("As asked ({}): {}; beside the best {}", way_text(study, ways.surface, ways.as_asked.way), outcome(ways.as_asked), beside(best, ways.as_asked)));
  if (!(ways.usual.way == ways.as_asked.way) && !(ways.usual.way == best.way))
    say(fmt::format("The usual way ({}): {}; beside the best {}", way_text(study, ways.surface, ways.usual.way), outcome(ways.usual), beside(best, ways.usual)));
  if (best.breaches > 0) say(fmt::format("No way of laying with these sheets keeps every rule: {} remain, listed below", broken(best.breaches)));
  if (best.visible < 0.05) say("No joint is expected to be noticed; that is a prediction, not a promise");
  return out;
}

std::vector<std::string> entries_moved(const Study& study, int surface, const Layout& layout) {
  std::vector<std::string> out;
  const std::string prefix = study.room.surfaces[surface].name + "/";
  auto find = [](const Layout& l, const std::string& id) {
    const auto at = std::find_if(l.joints.begin(), l.joints.end(), [&](const JointLine& j) { return j.id == id; });
    return at == l.joints.end() ? nullptr : &*at;
  };
  for (const JointSpec& spec : study.job.joints) {
    if (!spec.id->starts_with(prefix)) continue;
    const JointLine *was = find(study.layouts[static_cast<std::size_t>(surface)], *spec.id), *now = find(layout, *spec.id);
    if (was && now && was->kind == now->kind && glm::length(was->from - now->from) < 1e-4 && glm::length(was->to - now->to) < 1e-4) continue;
    std::string text = *spec.id;
    if (spec.width.given) text += fmt::format(" (width {})", length_text(study.job.units, *spec.width));
    if (!spec.measured->empty()) text += " (measured)";
    const JointLine* near = nullptr;
    auto middle = [](const JointLine& j) { return 0.5 * (j.from + j.to); };
    for (const JointLine& j : layout.joints)
      if (was && joins_sheets(j.kind) && is_end(j.kind) == is_end(was->kind) && (!near || glm::length(middle(j) - middle(*was)) < glm::length(middle(*near) - middle(*was)))) near = &j;
    out.push_back(text + (near ? ": another joint now; nearest is " + near->id : ": no such joint any more"));
  }
  return out;
}

}  // namespace rakelight
