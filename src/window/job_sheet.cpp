// The sheet of the whole job: every table of the job file, every key of the table of keys as a row.
#include <imgui.h>
#include <imgui_stdlib.h>

#include <algorithm>
#include <fmt/format.h>

#include "base/say.h"
#include "window/job_values.h"
#include "window/outline.h"
#include "window/sheet_controls.h"
#include "window/sheet_edits.h"
#include "window/view.h"

namespace rakelight {
namespace {

constexpr float sections_wide = 9.5f, unit_wide = 2;  // em

struct Chapter { const char* table; const char* title; };
constexpr Chapter chapters[] = {
    {"", later("In general")}, {"site", later("Site")}, {"room", later("Room")}, {"window", later("Windows")}, {"door", later("Doors")}, {"lamp", later("Lamps")}, {"surface", later("Surfaces")},
    {"framing", later("Framing")}, {"access", later("Access")}, {"finishing", later("Finishing")}, {"joint", later("Joints")}, {"moment", later("Times")}, {"viewer", later("Places")},
    {"verdict", later("Verdict")}, {"rates", later("Rates")}, {"drying", later("Drying")}, {"paper", later("Paper")},
};

/// "from_left" as it is read: the file's own word, without the stroke.
std::string spoken(std::string_view key) {
  std::string words(key);
  std::replace(words.begin(), words.end(), '_', ' ');
  return words;
}

/// On one line, cut where it does not fit; the whole of it when pointed at.
void one_line(const std::string& words, float wide, const std::string& all) {
  const ImVec2 at = ImGui::GetCursorScreenPos();
  std::string shown = words;
  if (ImGui::CalcTextSize(shown.c_str()).x > wide) {
    const auto continuation = [](char c) { return (static_cast<unsigned char>(c) & 0xC0u) == 0x80u; };
    while (!shown.empty() && ImGui::CalcTextSize((shown + "…").c_str()).x > wide) {
      while (shown.size() > 1 && continuation(shown.back())) shown.pop_back();
      shown.pop_back();
    }
    while (shown.ends_with(' ')) shown.pop_back();
    shown += "…";
  }
  ImGui::TextDisabled("%s", shown.c_str());
  if (ImGui::IsMouseHoveringRect(at, {at.x + wide, at.y + ImGui::GetTextLineHeight()}) && ImGui::IsWindowHovered()) {
    ImGui::BeginTooltip();
    wrapped_text(all, 28 * ImGui::GetFontSize());
    ImGui::EndTooltip();
  }
}

class Rows {
 public:
  Rows(Sight& s, const TomlNode& file) : s_(s), desk_(s.desk.sheet), file_(file), units_(units_of(file)), text_(s.model.history.now().text) {}

  void table(const TablePlace& place) {
    for (const KeyRow& row : key_rows()) {
      if (row.table != place.name() || row.status == KeyRow::Status::later) continue;
      if (control_of(row) == Control::outline) {
        if (row.kind == KeyKind::corners) outline_editor(s_);  // the walls' names stand in it too
        continue;
      }
      this->row(place, row);
      if (row.kind == KeyKind::paint || row.kind == KeyKind::word_or_table) inner(place, row);
    }
  }

 private:
  void row(const TablePlace& place, const KeyRow& row) {
    const std::string id = key_id(place, row.key);
    const TomlNode* node = key_node(file_, place, row.key);
    auto wrong = desk_.wrong.find(id);
    ImGui::PushID(id.c_str());
    const float x = ImGui::GetCursorPosX(), top = ImGui::GetCursorPosY(), wide = ImGui::GetContentRegionAvail().x;
    ImGui::AlignTextToFramePadding();
    ImGui::TextUnformatted(spoken(row.key).c_str());
    ImGui::SameLine(x + name_wide * s_.em);
    if (desk_.to_show == id) {
      ImGui::SetScrollHereY(0.3f);
      desk_.to_show.clear();
    }
    std::vector<std::string> fields(static_cast<std::size_t>(field_count(row)));
    if (wrong != desk_.wrong.end()) fields = wrong->second.fields;
    else if (node) fields = fields_of(row, *node, text_);
    const bool table = node && node->type == TomlNode::Type::table && (row.kind == KeyKind::paint || row.kind == KeyKind::word_or_table);
    if (table) {
      ImGui::TextDisabled("%s", say("as below").c_str());
      s_.mark("key " + id);
    } else {
      std::vector<std::string> usual = usual_fields(row, units_);
      if (usual.empty() || (usual.size() != fields.size() && !any_count(row))) usual.assign(fields.size(), "");
      if (usual[0].empty()) usual[0] = row.status == KeyRow::Status::required ? say("must be given") : "–";
      value(place, row, id, x, fields, usual);
      wrong = desk_.wrong.find(id);
    }
    const float below = ImGui::GetCursorPosY();
    if (control_of(row) == Control::fields) {
      ImGui::SetCursorPos({x + (name_wide + field_wide + 0.4f) * s_.em, top});
      ImGui::AlignTextToFramePadding();
      ImGui::TextDisabled("%s", unit_of(row, units_).c_str());
    }
    if ((node || wrong != desk_.wrong.end()) && (row.status != KeyRow::Status::required || wrong != desk_.wrong.end())) {
      ImGui::SetCursorPos({x + (name_wide + field_wide + unit_wide + 0.5f) * s_.em, top});
      const bool press = button(s_, "reset " + id, "×");
      tip(wrong != desk_.wrong.end() ? say("back to what the job says") : say("not said in the job any more: the usual value stands in"));
      if (press) reset(place, row, id), wrong = desk_.wrong.find(id);
    }
    ImGui::SetCursorPos({x, below});
    if (wrong != desk_.wrong.end()) complaint(id, wrong->second.said, wide);
    const std::string all = about_of(row);
    ImGui::SetCursorPosX(x);
    one_line(std::string(row.what), wide, all);
    ImGui::Dummy({0, 0.15f * s_.em});
    ImGui::PopID();
  }

  std::string about_of(const KeyRow& row) const {
    std::string all = std::string(row.what) + "\n" + describe(row, units_);
    if (!row.why.empty()) all += "\n" + say("without it: {}", standard_text(row, units_)) + " – " + std::string(row.why);
    return all;
  }

  void reset(const TablePlace& place, const KeyRow& row, const std::string& id) {
    desk_.typed.erase(id);
    if (desk_.wrong.erase(id) > 0) return;
    set_fields(s_.model, desk_, place, row, std::vector<std::string>(static_cast<std::size_t>(field_count(row))));
  }

  /// What `check` says of what was typed.
  void complaint(const std::string& id, const std::string& said, float wide) {
    const ImVec2 at = ImGui::GetCursorScreenPos();
    ImGui::Indent(0.6f * s_.em);
    wrapped_text(said, wide - 1.2f * s_.em);
    const float end = ImGui::GetItemRectMax().y;
    ImGui::Unindent(0.6f * s_.em);
    ImGui::GetWindowDrawList()->AddRectFilled({at.x, at.y}, {at.x + 0.2f * s_.em, end}, tone::accent);
    s_.mark("said " + id, at, {at.x + wide, end});
  }

  void value(const TablePlace& place, const KeyRow& row, const std::string& id, float x, const std::vector<std::string>& fields, const std::vector<std::string>& usual) {
    const auto put = [&](const std::vector<std::string>& typed) {
      if (typed == fields && desk_.wrong.find(id) == desk_.wrong.end()) return;
      set_fields(s_.model, desk_, place, row, typed);
    };
    if (row.kind == KeyKind::flag) {
      bool on = fields[0] == "true";
      if (ImGui::Checkbox("##tick", &on)) put({on ? "true" : "false"});
      s_.mark("key " + id);
      tip(about_of(row));
      ImGui::SameLine();
      if (fields[0].empty()) ImGui::TextDisabled("%s", (usual[0] == "true" ? say("yes") : usual[0] == "false" ? say("no") : say("not said")).c_str());
      else ImGui::TextUnformatted((on ? say("yes") : say("no")).c_str());
      return;
    }
    const std::vector<std::string> offered = choices(row, s_.study());
    const std::string about = about_of(row);
    const Cells cells{s_, file_, row, id, x, fields, usual, about, put};
    switch (control_of(row)) {
      case Control::bearings: return bearing_cells(cells);
      case Control::lamps: return lamp_cells(cells);
      case Control::ticks: return tick_cells(cells, offered);
      case Control::choices: return choice_cells(cells, offered);
      case Control::fields: case Control::tick: case Control::choice: case Control::outline: break;
    }
    if (control_of(row) == Control::choice) {
      ImGui::SetNextItemWidth(field_wide * s_.em);
      if (fields[0].empty()) ImGui::PushStyleColor(ImGuiCol_Text, usual_ink);
      const bool open = ImGui::BeginCombo("##word", (fields[0].empty() ? usual[0] : fields[0]).c_str(), ImGuiComboFlags_HeightLarge);
      if (fields[0].empty()) ImGui::PopStyleColor();
      s_.mark("key " + id);
      if (!open) tip(about);
      if (!open) return;
      offer(id, offered, fields[0], put);
      ImGui::EndCombo();
      return;
    }
    const auto now = desk_.typed.find(id);
    std::vector<std::string> shown = now != desk_.typed.end() && now->second.size() == fields.size() ? now->second : fields;
    const float arrow = offered.empty() ? 0 : 1.9f, gap = 0.3f, field_x = ImGui::GetCursorPosX();
    // the wall and the time of a sighting stand one below the other
    const bool stacked = row.kind == KeyKind::seen;
    const float count = stacked ? 1 : static_cast<float>(shown.size());
    const float each = (field_wide - arrow - gap * (count - 1)) / count;
    const auto arrow_beside = [&] {
      if (offered.empty()) return;
      ImGui::SameLine(0, gap * s_.em);
      if (ImGui::ArrowButton("##choose", ImGuiDir_Down)) ImGui::OpenPopup("choices");
      s_.mark("choose " + id);
    };
    bool begun = false, ended = false, done = false;
    for (std::size_t i = 0; i < shown.size(); ++i) {
      if (i > 0 && !stacked) ImGui::SameLine(0, gap * s_.em);
      if (stacked) ImGui::SetCursorPosX(field_x);
      ImGui::SetNextItemWidth(each * s_.em);
      ImGui::PushStyleColor(ImGuiCol_TextDisabled, usual_ink);
      ImGui::InputTextWithHint(fmt::format("##field{}", i).c_str(), usual[i].c_str(), &shown[i], ImGuiInputTextFlags_AutoSelectAll);
      ImGui::PopStyleColor();
      s_.mark(i == 0 ? "key " + id : fmt::format("key {}.{}", id, i + 1));
      if (!ImGui::IsItemActive()) tip(about);
      begun = begun || ImGui::IsItemActive();
      ended = ended || ImGui::IsItemDeactivated();
      done = done || ImGui::IsItemDeactivatedAfterEdit();
      if (i == 0 && stacked) arrow_beside();
    }
    if (begun || ended) desk_.typed[id] = shown;
    if (done) {
      // a point of which half is typed waits for the rest
      const bool some = std::any_of(shown.begin(), shown.end(), [](const std::string& f) { return f.empty(); }), none = std::all_of(shown.begin(), shown.end(), [](const std::string& f) { return f.empty(); });
      if (!some || none) put(shown);
    }
    if (ended && !begun) {
      const bool half = std::any_of(shown.begin(), shown.end(), [](const std::string& f) { return f.empty(); }) && shown != fields;
      if (!half || shown.size() == 1) desk_.typed.erase(id);
    }
    if (!stacked) arrow_beside();
    if (!ImGui::BeginPopup("choices")) return;
    offer(id, offered, shown[0], [&](const std::vector<std::string>& choice) {
      std::vector<std::string> all = shown;
      all[0] = choice[0];
      if (std::all_of(all.begin(), all.end(), [](const std::string& f) { return !f.empty(); })) put(all);
      else desk_.typed[id] = all;
    });
    ImGui::EndPopup();
  }

  template <class Put> void offer(const std::string& id, const std::vector<std::string>& offered, const std::string& now, Put&& put) {
    for (const std::string& choice : offered) {
      if (ImGui::Selectable(choice.c_str(), choice == now)) {
        desk_.typed.erase(id);
        put({choice});
      }
      s_.mark(fmt::format("choice {} {}", id, choice));
    }
  }

  /// The table that a value may be, below its word.
  void inner(const TablePlace& place, const KeyRow& row) {
    const TablePlace in{place.table, place.index, std::string(row.key)};
    const bool table = table_node(file_, in) != nullptr;
    bool open = table || desk_.opened.contains(in.path());
    for (const auto& [id, wrong] : desk_.wrong) open = open || wrong.place == in;
    if (!table) {
      const std::string what = row.kind == KeyKind::paint ? say("more of the paint: sealer, coats, roller, texture …") : say("what was measured on joints of these hands …");
      if (word(s_, "more " + in.path(), open ? say("less") : what)) {
        if (open) desk_.opened.erase(in.path());
        else desk_.opened.insert(in.path());
      }
      ImGui::Dummy({0, 0.3f * s_.em});
    }
    if (!open) return;
    ImGui::Indent(1.2f * s_.em);
    this->table(in);
    ImGui::Unindent(1.2f * s_.em);
  }

  Sight& s_;
  SheetDesk& desk_;
  const TomlNode& file_;
  Units units_;
  const std::string text_;  // as it was when the rows began, as is the tree
};

/// The entries of a [[table]], to choose among, add to and take from.
void entries(Sight& s, const TomlNode& file, const std::string& table) {
  SheetDesk& desk = s.desk.sheet;
  const int count = entry_count(file, table);
  int& chosen = desk.entry[table];
  chosen = std::clamp(chosen, 0, std::max(0, count - 1));
  const float right = ImGui::GetWindowPos().x + ImGui::GetContentRegionMax().x;
  const auto next = [&](float wide) {
    ImGui::SameLine();
    if (ImGui::GetCursorScreenPos().x + wide > right) ImGui::NewLine();
  };
  const auto wide_of = [&](const std::string& words) { return ImGui::CalcTextSize(words.c_str()).x + s.em; };
  for (int i = 0; i < count; ++i) {
    const std::string name = entry_name(file, table, i);
    if (i > 0) next(wide_of(name));
    if (button(s, fmt::format("entry {} {}", table, i), name, i == chosen)) {
      chosen = i;
      desk.typed.clear();
    }
  }
  const std::string add = say("+ Add"), take = say("Take out");
  if (count > 0) next(wide_of(add));
  if (button(s, "add " + table, add)) add_entry(s.model, desk, table, s.study());
  if (count > 0) {
    next(wide_of(take));
    if (button(s, "remove " + table, take)) remove_entry(s.model, desk, table, chosen);
    tip(say("Takes out {}; Ctrl Z brings it back.", entry_name(file, table, chosen)));
  }
}

}  // namespace

void job_sheet(Sight& s, const Region& r) {
  begin_region("job sheet", r, tone::panel);
  SheetDesk& desk = s.desk.sheet;
  const auto file = tree_of(desk, s.model);
  text(say("The job"));
  ImGui::SameLine(sections_wide * s.em + ImGui::GetStyle().WindowPadding.x);
  const std::string close = say("Close");
  const float close_x = std::max(0.0f, ImGui::GetWindowWidth() - ImGui::CalcTextSize(close.c_str()).x - 2.6f * s.em);
  if (file) {
    const std::string lengths = units_of(*file) == Units::inch ? say("Lengths in inches, or as 8' 6-1/2\"; greyed: what stands in for what is not said") : say("Lengths in mm; greyed: what stands in for what is not said");
    one_line(lengths, close_x - ImGui::GetCursorPosX() - s.em, lengths);
  }
  ImGui::SameLine(close_x);
  if (button(s, "close sheet", close)) s.model.sheet = false;
  ImGui::Separator();
  if (!file) {
    wrapped_text(say("The text of this job cannot be read at all; what is wrong stands at the left. Put it right there, or undo."));
    end_region();
    return;
  }
  ImGui::BeginChild("sections", {sections_wide * s.em, 0});
  for (const Chapter& section : chapters) {
    const std::string table = section.table;
    const TableRow* row = find_table(table);
    std::string title(phrase(section.title));
    if (row && row->many) title += fmt::format("  {}", entry_count(*file, table));
    const bool trouble = std::any_of(desk.wrong.begin(), desk.wrong.end(), [&](const auto& w) { return w.second.place.table == table; });
    const ImVec2 at = ImGui::GetCursorScreenPos();
    if (ImGui::Selectable(fmt::format("  {}###section {}", title, table).c_str(), desk.section == table, 0, {0, 1.5f * s.em})) {
      desk.section = table;
      desk.typed.clear();
    }
    s.mark("section " + table);
    if (desk.section == table) ImGui::GetWindowDrawList()->AddRectFilled({at.x, at.y}, {at.x + 0.2f * s.em, at.y + 1.5f * s.em}, tone::accent);
    if (trouble) ImGui::GetWindowDrawList()->AddCircleFilled({at.x + (sections_wide - 1) * s.em, at.y + 0.6f * s.em}, 0.3f * s.em, tone::accent);
  }
  ImGui::EndChild();
  ImGui::SameLine();
  ImGui::BeginChild("rows", {0, 0});
  const std::string section = desk.section;
  const TableRow* table = find_table(section);
  if (table) {
    std::string what(table->what);
    // the page of the keys links to another page there
    if (const auto link = what.find(" (["); link != std::string::npos) what.replace(link, what.find("))", link) + 2 - link, "");
    soft_wrapped_text(what);
    ImGui::Spacing();
  }
  const std::string before = s.model.history.now().text;
  if (table && table->many) {
    entries(s, *file, section);
    ImGui::Separator();
  } else if (table && !file->find(section)) {
    text(say("The job does not say anything of this yet."));
    ImGui::Spacing();
  }
  if (s.model.history.now().text == before) {
    const bool many = table && table->many;
    if (!many || entry_count(*file, section) > 0) Rows(s, *file).table({section, many ? desk.entry[section] : -1, ""});
  }
  ImGui::EndChild();
  end_region();
}

}  // namespace rakelight
