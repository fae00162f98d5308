// The joints, worst first; the chosen one opens in place.
#include <algorithm>
#include <fmt/format.h>
#include <fmt/ranges.h>

#include "advice/cure_words.h"
#include "base/text.h"
#include "base/units.h"
#include "paint/paint.h"
#include "report/in_units.h"
#include "window/view.h"
#include "window/words.h"

namespace rakelight {
namespace {

std::string short_id(const std::string& id) {
  const auto slash = id.rfind('/');
  return slash == std::string::npos ? id : id.substr(slash + 1);
}

const JointResult* same_joint(const std::vector<SurfaceResult>& results, const std::string& id) {
  for (const SurfaceResult& r : results)
    for (const JointResult& j : r.joints)
      if (j.joint.line.id == id) return &j;
  return nullptr;
}

/// "surface.long.run", "horizontal" to an edit.
std::optional<Edit> edit_of(const Change& change) {
  const auto first = change.key.find('.'), last = change.key.rfind('.');
  if (first == std::string::npos) return std::nullopt;
  std::string to = change.to;
  if (to.starts_with("towards ")) to = to.substr(8);
  const std::string value = change.toml.empty() ? text_value(to) : change.toml, table = change.key.substr(0, first);
  // a table of which there is one
  if (last == first) return Edit{table, "", change.key.substr(first + 1), value};
  const auto paint = change.key.rfind(".paint.");
  const auto end = paint != std::string::npos && paint > first ? paint : last;
  return Edit{table, change.key.substr(first + 1, end - first - 1), change.key.substr(end + 1), value};
}

void cure(Sight& s, const std::string& name, const std::string& text, const std::string& effect, const std::vector<Edit>& edits) {
  wrapped_text(in_units(s.assessed->study->job.units, text));
  if (!effect.empty()) soft_wrapped_text(effect);
  try_and_apply(s, name, edits);
}

/// What the search found: mixes, then single changes that help; each to try and to apply.
void searched(Sight& s, const SurfaceCounsel& found) {
  const Study& study = *s.assessed->study;
  if (!found.cures.needed) wrapped_text(least_work_text(study, found.cures) + ".");
  const auto offer = [&](const Cure& c, const std::string& name, const std::string& text) {
    std::vector<Edit> edits;
    for (const Change& change : c.changes)
      if (const auto e = edit_of(change)) edits.push_back(*e);
    if (edits.empty() || edits.size() != c.changes.size()) return;
    cure(s, name, upper_first(text), say("V {}{}, {} that a joint shows; {} (estimate), by {}", c.outcome.looked ? "" : "≈ ", fixed_text(c.outcome.judged.visibility, 1), chance_text(c.outcome.chance), hours_text(c.hours), fmt::format("{}", fmt::join(c.by, ", "))), edits);
  };
  int shown = 0;
  for (const Cure& c : found.cures.mixes) {
    ++shown;
    offer(c, fmt::format("cure {}", shown), shown == 1 && c.reached ? say("the least work, {}: {}", c.when, mix_text(c)) : c.reached ? say("or, {}: {}", c.when, mix_text(c)) : say("not enough, but {}: {}", c.when, mix_text(c)));
  }
  for (const Cure& c : found.cures.singles)
    if (c.outcome.judged.visibility < 0.97 * found.cures.now.judged.visibility) offer(c, fmt::format("cure {}", ++shown), c.reached ? say("{}, alone", mix_text(c)) : say("{}, alone not enough", mix_text(c)));
  wrapped_text(in_units(study.job.units, nearest_lamp_text(study, found.later) + "."));
}

}  // namespace

void try_and_apply(Sight& s, const std::string& name, const std::vector<Edit>& edits) {
  if (button(s, "try " + name, say("Try"))) {
    s.model.notice.clear();
    s.model.compare(edits);
  }
  tip(say("Shows it at the right of the divider; the job stays as it is."));
  ImGui::SameLine();
  if (button(s, "apply " + name, say("Apply"))) s.model.edit(edits);
  tip(say("Changes the job; Ctrl Z takes it back."));
}

void cures(Sight& s, const JointResult& joint, const SurfaceResult& surface) {
  const Study& study = *s.assessed->study;
  const std::string face = study.room.surfaces[surface.surface].name;
  ImGui::Spacing();
  text(say("What would help"));
  ImGui::Separator();
  const Counsel* counsel = s.assessed->counsel.get();
  if (const SurfaceCounsel* found = counsel ? counsel->of(surface.surface) : nullptr) {
    searched(s, *found);
  } else if (!s.model.cures_wanted) {
    if (button(s, "find cures", say("Find the least work"))) s.model.cures_wanted = true;
    tip(say("Searches all that can be changed: sheets, joints, paint, lamps. It takes some seconds, and is done again after each change."));
  } else if (!s.work.also_doing.empty()) {
    soft_text(s.work.also_doing + " …");
  }
  if (joins_sheets(joint.joint.line.kind) && joint.width > 0) {
    const double wider = std::min(1.5, std::round(joint.width * 1.5 / 0.05) * 0.05);
    cure(s, "wider", say("Feather this joint {:.0f} mm wide instead of {:.0f} mm", wider * mm_per_m, joint.width * mm_per_m), say("lower slopes: the same crown over more wall"),
         {{"joint", joint.joint.line.id, "width", length_value(study.job.units, wider)}});
  }
  const std::vector<std::string> paints = paint_ids();
  const PaintSpec& system = study.job.surfaces[study.room.surfaces[surface.surface].spec].paint;
  const std::string& paint = *system.name;
  const auto at = std::find(paints.begin(), paints.end(), paint);
  if (at != paints.end() && at != paints.begin())
    cure(s, "flatter", say("Paint it {} instead of {}", phrase(*(at - 1)), phrase(paint)), say("less sheen where one looks along the wall towards the light"), {{"surface", face, system.klass.given ? "paint.class" : "paint", text_value(*(at - 1))}});
}

void findings_region(Sight& s, const Region& r, bool drawer) {
  begin_region(drawer ? "findings drawer" : "findings", r, tone::panel, true, drawer);
  Model& m = s.model;
  if (!s.assessed || !s.assessed->study || !s.assessed->assessment) {
    text(say("Findings"));
    ImGui::Separator();
    soft_text(s.work.doing.empty() ? "…" : s.work.doing + " …");
    end_region();
    return;
  }
  const Study& study = *s.assessed->study;
  const Assessment& assessment = *s.assessed->assessment;
  // faces with boards, to choose among
  for (const SurfaceResult& result : assessment.surfaces) {
    const std::string& name = study.room.surfaces[result.surface].name;
    const std::string words = face_text(study.room, result.surface);
    if (&result != &assessment.surfaces.front()) beside_or_below(button_wide(words), r.at.x + r.size.x - 1.6f * s.em);
    if (button(s, "face " + name, words, m.surface == name)) {
      m.surface = name;
      m.joint.clear();
    }
    tip(say("The joints of this face."));
  }
  const SurfaceResult* surface = result_of(assessment, study.room, m.surface);
  if (!surface) {
    wrapped_text(assessment.surfaces.empty() ? say("Nothing is boarded yet. What is?") : say("Nothing is boarded on this face."));
    for (int i = 0; i <= study.room.ceiling(); ++i) {
      const Surface& bare = study.room.surfaces[i];
      if (bare.spec >= 0 || (!m.surface.empty() && m.surface != bare.name)) continue;
      if (button(s, "board " + bare.name, say("Board: {}", face_text(study.room, i))) && m.edit({{"surface", bare.name, "edge", text_value("recessed")}})) m.surface = bare.name;
      tip(say("Its sheets, level and paint are then the usual ones; all of it can be changed (E). One step."));
    }
    end_region();
    return;
  }
  if (s.assessed->text != m.history.now().text) soft_text(say("looking again …"));
  if (m.question == Question::way_round) ways_details(s, *surface);
  std::vector<const JointResult*> joints;
  for (const JointResult& j : surface->joints) joints.push_back(&j);
  const auto visibility = [](const JointResult* j) { return j->worst < 0 ? -1 : j->seen[j->worst].judged.visibility; };
  std::stable_sort(joints.begin(), joints.end(), [&](const JointResult* a, const JointResult* b) { return visibility(a) > visibility(b); });
  const JointResult* chosen = nullptr;
  for (const JointResult* j : joints)
    if (j->joint.line.id == m.joint) chosen = j;
  if (!chosen && !joints.empty()) chosen = joints.front(), m.joint = chosen->joint.line.id;
  if (joints.empty()) text(say("There are no joints on this face."));
  if (!joints.empty()) {
    soft_text(say("joint"));
    ImGui::SameLine(4.5f * s.em);
    soft_text(say("at worst, how visible"));
    ImGui::SameLine(16.5f * s.em);
    soft_text(say("now, here"));
    ImGui::Separator();
  }
  for (const JointResult* j : joints) {
    const std::string& id = j->joint.line.id;
    if (word(s, "joint " + id, short_id(id))) m.joint = id;
    tip(in_units(study.job.units, say("{}, {:.1f} m long, {:.0f} mm wide", kind_words(j->joint.line.kind), j->joint.line.length(), j->width * mm_per_m)));
    ImGui::SameLine(4.5f * s.em);
    if (j->worst >= 0) {
      const Judged& judged = j->seen[j->worst].judged;
      disc(s, judged.verdict);
      ImGui::SameLine(0, 0.4f * s.em);
      text(verdict_words(judged.verdict) + (judged.borderline ? "?" : ""));
      if (judged.borderline) tip(say("Borderline: the band crosses a limit."));
      ImGui::SameLine(10.6f * s.em);
      ImGui::TextUnformatted(band_words(judged).c_str());
      tip(say("In just-noticeable units, with its uncertainty: under 1 hidden, from 4 it shows."));
    } else {
      soft_text(say("out of sight"));
    }
    const JointResult* now = s.work.left_here && s.work.left_here->text == s.assessed->text ? same_joint(s.work.left_here->surfaces, id) : nullptr;
    ImGui::SameLine(16.5f * s.em);
    if (now && now->worst >= 0) {
      disc(s, now->seen[now->worst].judged.verdict);
      ImGui::SameLine(0, 0.4f * s.em);
      text(verdict_words(now->seen[now->worst].judged.verdict));
    } else {
      const bool known = s.work.left_here && s.work.left_here->text == s.assessed->text;
      soft_text(!known ? "…" : s.work.left_here->trouble.empty() ? say("not seen") : say("no such time"));
    }
    if (j == chosen) {
      ImGui::Indent(0.6f * s.em);
      if (m.question == Question::measured && joins_sheets(j->joint.line.kind)) measured_details(s, *j, *surface);
      joint_details(s, *j, *surface);
      cures(s, *j, *surface);
      ImGui::Unindent(0.6f * s.em);
      ImGui::Separator();
    }
  }
  end_region();
}

}  // namespace rakelight
