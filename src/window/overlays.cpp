// What lies over the picture for a while: help, opening and saving, a first room, a job that cannot be read.
#include <imgui.h>
#include <imgui_stdlib.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <fmt/format.h>

#include "base/text.h"
#include "job/zones.h"
#include "base/units.h"
#include "window/keys.h"
#include "window/taken.h"
#include "window/words.h"

#include "window/view.h"

namespace rakelight {
namespace {

Region centred(const Region& r, float wide, float high) {
  const ImVec2 size{std::min(wide, r.size.x), std::min(high, r.size.y)};
  return {{r.at.x + 0.5f * (r.size.x - size.x), r.at.y + 0.5f * (r.size.y - size.y)}, size};
}

/// Of a path its end, which tells more.
std::string shortened_front(const std::string& path, float wide) {
  if (ImGui::CalcTextSize(path.c_str()).x <= wide) return path;
  for (std::size_t from = path.find('/', 1); from != std::string::npos; from = path.find('/', from + 1))
    if (const std::string end = "…" + path.substr(from); ImGui::CalcTextSize(end.c_str()).x <= wide) return end;
  return shortened(path, wide);
}

}  // namespace

void help_overlay(Sight& s, const Region& r) {
  begin_region("help", centred(r, 64 * s.em, 32 * s.em), tone::pressed, true, true);
  text(say("Keys"));
  for (const Language& l : languages()) {
    ImGui::SameLine(0, 2 * s.em);
    if (button(s, "language " + l.code, l.name, l.code == language())) s.wishes.language = l.code;
    tip(say("The language of the window (Ctrl L)"));
  }
  const std::string close = say("Close");
  ImGui::SameLine(std::max(0.0f, ImGui::GetWindowWidth() - button_wide(close) - 1.6f * s.em));
  if (button(s, "close help", close)) s.model.help = false;
  tip(say("Back to the picture (F1 or Esc)"));
  ImGui::Separator();
  const auto bindings = key_bindings();
  const std::size_t half = (bindings.size() + 1) / 2;
  float names = 0;
  for (const KeyBinding& b : bindings) names = std::max(names, ImGui::CalcTextSize(std::string(phrase(b.keys)).c_str()).x);
  if (ImGui::BeginTable("keys", 4)) {
    ImGui::TableSetupColumn("", ImGuiTableColumnFlags_WidthFixed, names + 0.5f * s.em);
    ImGui::TableSetupColumn("");
    ImGui::TableSetupColumn("", ImGuiTableColumnFlags_WidthFixed, names + 0.5f * s.em);
    ImGui::TableSetupColumn("");
    for (std::size_t i = 0; i < half; ++i)
      for (std::size_t k : {i, i + half}) {
        if (k >= bindings.size()) continue;
        ImGui::TableNextColumn();
        text(phrase(bindings[k].keys));
        ImGui::TableNextColumn();
        wrapped_text(phrase(bindings[k].words));
      }
    ImGui::EndTable();
  }
  ImGui::Separator();
  wrapped_text(say("In the picture: click a joint to choose it; drag to look round, turn the wheel to step forward; drag a window's edge where it stands on the wall you face. "
                   "While dragging, Alt suspends the snapping to 10 mm or half an inch. A file dropped on the window is opened."));
  end_region();
}

void open_overlay(Sight& s, const Region& r) {
  Model& m = s.model;
  begin_region("open a job", centred(r, 44 * s.em, (s.desk.naming ? 6.5f : std::min(20.0f, 9.0f + 1.4f * static_cast<float>(s.desk.recent.size()))) * s.em), tone::pressed, true, true);
  if (s.desk.naming) {
    text(say("Save the job as"));
    ImGui::SetNextItemWidth(-1);
    const bool entered = ImGui::InputText("##name", &s.desk.name_for_saving, ImGuiInputTextFlags_EnterReturnsTrue);
    s.mark("file name");
    tip(say("A path: the folder must be there, and no file of that name."));
    if (button(s, "save as", say("Save")) || entered) {
      s.wishes.save_as = s.desk.name_for_saving;
    }
    tip(say("Writes the job there; a file that is there already is left alone."));
    ImGui::SameLine();
    if (button(s, "not now", say("Not now"))) s.desk.naming = false;
    tip(say("Nothing is changed (Esc)."));
    end_region();
    return;
  }
  text(say("Open a job: type its path, or drop the file on the window"));
  ImGui::SetNextItemWidth(-1);
  const bool entered = ImGui::InputText("##path", &s.desk.path, ImGuiInputTextFlags_EnterReturnsTrue);
  s.mark("path");
  tip(say("The path of a job file, *.toml; Enter opens it."));
  if ((button(s, "open it", say("Open")) || entered) && !s.desk.path.empty()) s.wishes.open_path = s.desk.path;
  tip(say("Reads the job; work that is not saved is asked for first."));
  ImGui::SameLine();
  if (button(s, "leave opening", say("Not now"))) m.opening = false;
  tip(say("Nothing is changed (Esc)."));
  ImGui::Separator();
  text(s.desk.recent.empty() ? say("No job was opened here before.") : say("The last ones"));
  for (std::size_t i = 0; i < s.desk.recent.size(); ++i) {
    if (word(s, fmt::format("recent {}", i + 1), shortened_front(s.desk.recent[i], 41 * s.em))) s.wishes.open_path = s.desk.recent[i];
    tip(s.desk.recent[i]);
  }
  end_region();
}

void start_overlay(Sight& s, const Region& r) {
  Model& m = s.model;
  begin_region("start my room", centred(r, 40 * s.em, 16 * s.em), tone::pressed, true, true);
  text(say("My room: the long wall is boarded, a window stands in the wall at its end"));
  ImGui::Spacing();
  ImGui::Checkbox((say("feet and inches") + "###room inches").c_str(), &s.desk.inches);
  s.mark("room inches");
  tip(say("The room is asked for in inches, and the job file is written in inches."));
  const double unit = s.desk.inches ? mm_per_inch : 1;
  struct Field { const char* name; const char* label; const char* in_inches; std::size_t index; double least, most; const char* why; };
  static constexpr Field fields[] = {{"room length", later("length of the long wall, mm"), later("length of the long wall, inches"), 0, 1500, 30000, later("Inside, from corner to corner.")},
                                     {"room width", later("width of the window wall, mm"), later("width of the window wall, inches"), 1, 1500, 30000, later("Inside, from corner to corner.")},
                                     {"room height", later("height, mm"), later("height, inches"), 2, 1800, 10000, later("Floor to ceiling.")}};
  for (const Field& f : fields) {
    ImGui::SetNextItemWidth(9 * s.em);
    double shown = s.desk.typed[f.index] / unit;
    if (ImGui::InputDouble(fmt::format("{}###{}", phrase(s.desk.inches ? f.in_inches : f.label), f.name).c_str(), &shown, 0, 0, s.desk.inches ? "%.3f" : "%.0f")) s.desk.typed[f.index] = shown * unit;
    s.mark(f.name);
    tip(phrase(f.why));
    s.desk.typed[f.index] = std::isfinite(s.desk.typed[f.index]) ? std::clamp(s.desk.typed[f.index], f.least, f.most) : f.least;
  }
  ImGui::SetNextItemWidth(16 * s.em);
  ImGui::InputText((say("time zone") + "###room zone").c_str(), &s.desk.zone);
  s.mark("room zone");
  tip(say("Such as Europe/London or Pacific/Auckland. Its city's place is taken for the sun until the job says where it is."));
  const std::vector<std::string> zones = zone_names();
  const bool known = std::find(zones.begin(), zones.end(), s.desk.zone) != zones.end();
  if (!known) {
    const std::string near = nearest_word(s.desk.zone, zones);
    soft_text(near.empty() ? say("no such zone: Continent/City") : say("no such zone; did you mean {}?", near));
  }
  ImGui::SetNextItemWidth(9 * s.em);
  ImGui::InputDouble((say("bearing in which the window looks, degrees") + "###room north").c_str(), &s.desk.typed[4], 0, 0, "%.0f");
  s.mark("room north");
  tip(say("North is 0, east 90, south 180, west 270: hold a compass against the glass."));
  if (!std::isfinite(s.desk.typed[4]) || s.desk.typed[4] < 0 || s.desk.typed[4] >= 360) s.desk.typed[4] = 0;
  ImGui::Spacing();
  if (button(s, "begin", say("Begin")) && known) {
    s.desk.room = {s.desk.typed[0] / 1000, s.desk.typed[1] / 1000, s.desk.typed[2] / 1000, s.desk.zone, s.desk.typed[4], false, s.desk.inches};
    s.wishes.new_room = true;
  }
  tip(known ? say("Makes the job; then drag the window to where it is.") : say("First a time zone that there is."));
  ImGui::SameLine();
  if (button(s, "leave starting", say("Not now"))) m.starting = false;
  tip(say("Nothing is changed (Esc)."));
  end_region();
}

void trouble_overlay(Sight& s, const Region& r) {
  const Found& found = *s.found();
  begin_region("trouble", r, tone::panel, true, true);
  text(say("This job cannot be shown yet:"));
  ImGui::Spacing();
  const std::string name = s.model.path.empty() ? say("the job") : std::filesystem::path(s.model.path).filename().string();
  const std::string wrong = found.trouble.empty() ? found.diagnostics.to_text(name, found.text) : found.trouble;
  wrapped_text(wrong);
  s.mark("trouble");
  ImGui::Spacing();
  wrapped_text(say("Put it right in the file and read it again (Ctrl R), undo the last change (Ctrl Z), or open another job (Ctrl O)."));
  if (button(s, "read again", say("Read again"))) s.wishes.reread = true;
  tip(say("Reads the job's file anew (Ctrl R)."));
  end_region();
}

/// A dropped distribution: which lamp is it of? The chosen one first; where there is but one, it alone.
void photometry_overlay(Sight& s, const Region& r) {
  const Study& study = *s.study();
  begin_region("photometry", centred(r, 44 * s.em, std::min(24.0f, 8.5f + 1.9f * static_cast<float>(study.job.lamps.size())) * s.em), tone::pressed, true, true);
  wrapped_text(s.desk.photometry_words);
  ImGui::Spacing();
  text(study.job.lamps.size() == 1 ? say("Light distribution of the lamp?") : say("Light distribution of which lamp?"));
  std::vector<const LampSpec*> lamps;
  for (const LampSpec& lamp : study.job.lamps)
    if ("lamp " + *lamp.name == s.desk.chosen) lamps.insert(lamps.begin(), &lamp);
    else lamps.push_back(&lamp);
  for (const LampSpec* lamp : lamps) {
    const std::string& name = *lamp->name;
    if (button(s, "give to " + name, say("Give it to {}", name), "lamp " + name == s.desk.chosen)) {
      if (s.model.edit(photometry_given(study.job, name, path_beside(s.model.path, s.desk.photometry)))) {
        s.model.notice = lamp->flux.given ? say("{} shines as in that file now, with the {:.0f} lm that the job gives it", name, *lamp->flux) : say("{} shines as in that file now", name);
        s.desk.chosen = "lamp " + name;
      }
      s.desk.photometry.clear();
      break;
    }
    tip(say("The lamp then shines as the file says; its own beam is taken away. One step: Ctrl Z takes it back."));
  }
  ImGui::Spacing();
  if (button(s, "leave photometry", say("Not now"))) s.desk.photometry.clear();
  tip(say("Nothing is changed (Esc)."));
  end_region();
}

void place_overlay(Sight& s, const Region& r) {
  Model& m = s.model;
  begin_region("keep the place", centred(r, 40 * s.em, 13 * s.em), tone::pressed, true, true);
  text(say("Keep this place as one of the job's, under the name"));
  ImGui::SetNextItemWidth(-1);
  const bool entered = ImGui::InputText("##place name", &s.desk.place_name, ImGuiInputTextFlags_EnterReturnsTrue);
  s.mark("place name");
  tip(say("Such as sofa or doorway; the answer names it when the worst is seen from there."));
  if (s.study()->job.viewers.empty()) wrapped_text(say("The job names no places so far: the usual ones are written with it, since it is judged from its own alone then."));
  if (button(s, "keep place", say("Keep")) || entered) {
    const std::vector<Edit> edits = viewer_kept(*s.study(), s.desk.place_name, m.place->eye, m.place->target);
    if (edits.empty()) m.notice = say("\"{}\" is taken: another name, please", s.desk.place_name);
    else if (m.edit(edits)) {
      m.place->viewer = s.desk.place_name;
      m.notice = say("{} is one of the job's places now; Ctrl Z takes it back", s.desk.place_name);
      s.desk.placing = m.walking = false;
    }
  }
  tip(say("One step: Ctrl Z takes it back."));
  ImGui::SameLine();
  if (button(s, "leave place", say("Not now"))) s.desk.placing = false;
  tip(say("Nothing is changed (Esc)."));
  end_region();
}

}  // namespace rakelight
