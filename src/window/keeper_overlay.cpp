// Unsaved work that was found, and a file that others changed in the same places: shown, and asked about.
#include <imgui.h>

#include <algorithm>
#include <filesystem>
#include <fmt/format.h>

#include "base/say.h"
#include "window/merge.h"
#include "window/view.h"

namespace rakelight {
namespace {

/// Lines that only one of the texts has.
void difference_list(Sight& s, const std::string& first, const std::string& second) {
  ImGui::PushStyleColor(ImGuiCol_ChildBg, tone::white);
  ImGui::BeginChild("difference", {0, -0.2f * s.em}, false, ImGuiWindowFlags_HorizontalScrollbar | ImGuiWindowFlags_AlwaysUseWindowPadding);
  const std::vector<LineSaid> lines = difference(first, second);
  ImGuiListClipper clipper;
  clipper.Begin(static_cast<int>(lines.size()));
  while (clipper.Step())
    for (int i = clipper.DisplayStart; i < clipper.DisplayEnd; ++i) {
      const LineSaid& line = lines[static_cast<std::size_t>(i)];
      ImGui::TextColored(ImGui::ColorConvertU32ToFloat4(line.second ? tone::accent : tone::soft), "%s %4zu  %s", line.second ? "+" : "\u2212", line.number, line.text.c_str());
    }
  clipper.End();
  if (lines.empty()) ImGui::TextDisabled("%s", say("There is no difference.").c_str());
  ImGui::EndChild();
  s.mark("difference");
  ImGui::PopStyleColor();
}

}  // namespace

void keeper_overlay(Sight& s, const Region& r) {
  Model& m = s.model;
  const bool clash = s.keeper.clash().has_value();
  // over the sheet too, which leaves the picture little room
  const float across = ImGui::GetIO().DisplaySize.x;
  const ImVec2 size{std::min(54 * s.em, across), std::min((s.desk.difference ? 26.0f : 9.5f) * s.em, r.size.y)};
  begin_region("keeper", {{0.5f * (across - size.x), r.at.y + 0.5f * (r.size.y - size.y)}, size}, tone::pressed, true, true);
  const std::string name = m.path.empty() ? say("a job that has no file yet") : std::filesystem::path(m.path).filename().string();
  wrapped_text(clash ? say("{} was changed elsewhere, in the same places as here", name) : say("Unsaved work on {} was found", name));
  s.mark("keeper");
  ImGui::Spacing();
  if (clash) wrapped_text(say("Nothing is lost yet: what is here stands in the window, what they wrote stands in the file. Which is the job from now on?"));
  else if (s.keeper.offered()->of_this) wrapped_text(say("The program ended before it was saved. Shall it be brought back?"));
  else wrapped_text(say("The program ended before it was saved, and the file was changed since. If it is brought back, it stands as one step over what the file says now; Ctrl Z shows the file again."));
  ImGui::Spacing();
  const std::string other = clash ? *s.keeper.clash() : s.keeper.offered()->text;
  if (clash) {
    if (button(s, "keep mine", say("Keep what is here"))) s.keeper.keep_mine(m);
    tip(say("Saving then writes it over theirs.").c_str());
    ImGui::SameLine();
    if (button(s, "take theirs", say("Take what they wrote"))) s.keeper.take_theirs(m);
    tip(say("One step: Ctrl Z brings yours back.").c_str());
  } else {
    if (button(s, "restore", say("Bring it back"))) s.keeper.restore(m);
    tip(say("One step: Ctrl Z shows the file as it is.").c_str());
    ImGui::SameLine();
    if (button(s, "discard", say("Throw it away"))) s.keeper.discard(m);
    ImGui::SameLine();
    if (button(s, "recover later", say("Not now"))) s.keeper.not_now();
    tip(say("It is offered again when the job is opened again.").c_str());
  }
  ImGui::SameLine();
  if (button(s, "show difference", say("What differs?"), s.desk.difference)) s.desk.difference = !s.desk.difference;
  if (s.desk.difference) {
    ImGui::TextDisabled("%s", (clash ? say("− what they wrote   + what is here") : say("− the file   + the unsaved work")).c_str());
    if (clash) difference_list(s, other, m.history.now().text);
    else difference_list(s, m.saved_text, other);
  }
  end_region();
}

}  // namespace rakelight
