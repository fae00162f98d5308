// Which way round: the best of each direction drawn with its joints as they show, what it takes, why; each to try and to apply.
#include <algorithm>
#include <fmt/format.h>

#include "base/text.h"
#include "base/units.h"
#include "report/in_units.h"
#include "window/view.h"
#include "window/way_edits.h"
#include "window/words.h"

namespace rakelight {
namespace {

constexpr float drawing_high = 7.5f;  // em at most
constexpr int others_shown = 4;

const JointResult* result_at(const SurfaceResult& judged, const std::string& id) {
  for (const JointResult& j : judged.joints)
    if (j.joint.line.id == id) return &j;
  return nullptr;
}

/// The face seen square on: sheets, openings left out of them, joints as they show: thick, thin, dotted.
void draw_way(Sight& s, const Study& study, int surface, const Layout& layout, const SurfaceResult& judged, const std::string& name) {
  const Rect& box = study.room.surfaces[surface].box;
  const float wide = std::max(1.0f, ImGui::GetContentRegionAvail().x);
  const double scale = std::min(wide / box.width(), drawing_high * s.em / box.height());
  const ImVec2 at = ImGui::GetCursorScreenPos(), size{static_cast<float>(scale * box.width()), static_cast<float>(scale * box.height())};
  ImGui::Dummy(size);
  s.mark("drawing " + name, at, {at.x + size.x, at.y + size.y});
  tip(say("The face from the room. Thick: a joint that shows; thin: faint; dotted: hidden."));
  ImDrawList* draw = ImGui::GetWindowDrawList();
  const auto to = [&](dvec2 p) { return ImVec2(at.x + static_cast<float>((p.x - box.lo.x) * scale), at.y + size.y - static_cast<float>((p.y - box.lo.y) * scale)); };
  for (const Sheet& sheet : layout.sheets)
    for (const auto& part : sheet.parts) {
      std::vector<ImVec2> corners;
      for (const dvec2 p : part) corners.push_back(to(p));
      draw->AddConvexPolyFilled(corners.data(), static_cast<int>(corners.size()), tone::hidden);
    }
  for (const JointLine& line : layout.joints) {
    if (!joins_sheets(line.kind)) continue;
    const JointResult* result = result_at(judged, line.id);
    const Verdict verdict = result && result->worst >= 0 ? result->seen[static_cast<std::size_t>(result->worst)].judged.verdict : Verdict::hidden;
    const ImVec2 a = to(line.from), b = to(line.to);
    if (verdict != Verdict::hidden) {
      draw->AddLine(a, b, verdict == Verdict::shows ? tone::accent : tone::ink, verdict == Verdict::shows ? 0.26f * s.em : 0.1f * s.em);
      continue;
    }
    const int dots = std::max(2, static_cast<int>(scale * line.length() / (0.45 * s.em)));
    for (int i = 0; i < dots; ++i) {
      const float t = (static_cast<float>(i) + 0.2f) / static_cast<float>(dots), u = (static_cast<float>(i) + 0.6f) / static_cast<float>(dots);
      draw->AddLine({a.x + (b.x - a.x) * t, a.y + (b.y - a.y) * t}, {a.x + (b.x - a.x) * u, a.y + (b.y - a.y) * u}, tone::soft, 1);
    }
  }
  draw->AddRect(at, {at.x + size.x, at.y + size.y}, tone::line);
}

std::string takes_words(Units units, const WayOption& o) {
  std::string text = say("{} m of {} m expected to show", fixed_text(o.visible, 1), fixed_text(o.long_metres + o.end_metres, 1)) + " · " +
                     (o.stock == 1 ? say("1 sheet to buy") : say("{} sheets to buy", o.stock)) + " · " +
                     (o.end_metres < 0.01 ? say("no butts") : say("{} m of butts", fixed_text(o.end_metres, 1))) + " · " + say("{} h to hang and finish", fixed_text(o.hours, 1));
  if (o.breaches > 0) text += " · " + (o.breaches == 1 ? say("breaks 1 rule") : say("breaks {} rules", o.breaches));
  return in_units(units, text);
}

}  // namespace

void ways_details(Sight& s, const SurfaceResult& surface) {
  const Study& study = *s.assessed->study;
  const Units units = study.job.units;
  const std::string& face = study.room.surfaces[surface.surface].name;
  const WaysFound* found = s.assessed->ways.get();
  if (!found || found->surface != face) {
    soft_text(s.work.also_doing.empty() ? "…" : s.work.also_doing + " …");
    ImGui::Separator();
    return;
  }
  const FaceWays& ways = found->ways;
  const auto offer = [&](const std::string& name, const Way& way) {
    if (way == ways.as_asked.way) soft_text(say("As the job has it."));
    else try_and_apply(s, name, way_edits(study, surface.surface, way));
  };
  // the best first
  std::vector<const WayLooked*> looked;
  for (const WayLooked& way : found->looked) looked.push_back(&way);
  std::stable_partition(looked.begin(), looked.end(), [&](const WayLooked* way) { return way->option.way == ways.winner().way; });
  for (const WayLooked* way : looked) {
    const std::string run = run_words(study.room, surface.surface, way->option.way.run);
    const Counts counts = counts_of(way->judged);
    disc(s, counts.worst());
    ImGui::SameLine(0, 0.4f * s.em);
    wrapped_text((way->option.way == ways.winner().way ? say("The best: {}", run) : say("{} at its best", upper_first(run))) + ": " + counts_words(counts));
    const std::string name = way->option.way.run == Run::horizontal ? "horizontal" : "upright";
    draw_way(s, study, surface.surface, way->plan.layout, way->judged, name);
    wrapped_text(upper_first(way_words(study, surface.surface, way->option.way)));
    soft_wrapped_text(takes_words(units, way->option));
    for (const Breach& b : way->plan.breaches) soft_wrapped_text(in_units(units, say("breaks {}: {}", b.rule->id, b.what)));
    offer("way " + name, way->option.way);
    ImGui::Spacing();
  }
  if (ways.locked) wrapped_text(say("This face is part of a tested system: its direction stands."));
  const bool asked_shown = std::any_of(looked.begin(), looked.end(), [&](const WayLooked* way) { return way->option.way == ways.as_asked.way; });
  if (!asked_shown) {
    wrapped_text(say("As the job has it: {}", way_words(study, surface.surface, ways.as_asked.way)));
    soft_wrapped_text(takes_words(units, ways.as_asked));
  }
  int others = 0;
  for (const WayOption& o : ways.front) {
    if (others == others_shown || std::any_of(looked.begin(), looked.end(), [&](const WayLooked* way) { return way->option.way == o.way; })) continue;
    ++others;
    wrapped_text(say("Or {}", way_words(study, surface.surface, o.way)));
    soft_wrapped_text(takes_words(units, o));
    offer(fmt::format("way {}", others), o.way);
  }
  ImGui::Spacing();
  text(say("Why"));
  ImGui::Separator();
  for (const std::string& reason : ways.reasons) wrapped_text(in_units(units, reason));
  for (const WayLooked* way : looked)
    if (way->option.way == ways.winner().way)
      for (const std::string& moved : entries_moved(study, surface.surface, way->plan.layout)) wrapped_text(in_units(units, "[[joint]] " + moved));
  soft_wrapped_text(say("{} layouts were tried. Hours are an estimate.", ways.tried));
  ImGui::Spacing();
}

}  // namespace rakelight
