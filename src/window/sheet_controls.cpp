#include "window/sheet_controls.h"

#include <imgui.h>
#include <imgui_stdlib.h>

#include <algorithm>
#include <charconv>
#include <fmt/format.h>

#include "base/say.h"
#include "base/text.h"

namespace rakelight {
namespace {

constexpr float part_wide = 3.9f, gap_wide = 0.4f;  // em: a number among several, and between two

bool said(const std::vector<std::string>& fields) { return std::any_of(fields.begin(), fields.end(), [](const std::string& f) { return !f.empty(); }); }

/// What is typed just now, else what the job has.
std::vector<std::string> shown_of(const Cells& c) {
  const auto now = c.s.desk.sheet.typed.find(c.id);
  return now != c.s.desk.sheet.typed.end() ? now->second : c.fields;
}

void put(const Cells& c, const std::vector<std::string>& fields) {
  c.s.desk.sheet.typed.erase(c.id);
  c.put(fields);
}

/// Keeps what is typed while a cell is active, and hands it on when its cell is left. `whole`: nothing is missing in it.
class Typing {
 public:
  explicit Typing(const Cells& c) : c_(c) {}
  /// A field of so many em. Returns whether its words changed.
  bool cell(const std::string& mark, std::string& words, const std::string& hint, float wide) {
    ImGui::SetNextItemWidth(wide * c_.s.em);
    ImGui::PushStyleColor(ImGuiCol_TextDisabled, usual_ink);
    const bool changed = ImGui::InputTextWithHint(("##" + mark).c_str(), hint.c_str(), &words, ImGuiInputTextFlags_AutoSelectAll);
    ImGui::PopStyleColor();
    c_.s.mark(mark);
    begun_ = begun_ || ImGui::IsItemActive();
    ended_ = ended_ || ImGui::IsItemDeactivated();
    done_ = done_ || ImGui::IsItemDeactivatedAfterEdit();
    return changed;
  }
  void end(const std::vector<std::string>& shown, bool whole) {
    if (done_ && whole) return put(c_, shown);
    if (begun_) c_.s.desk.sheet.typed[c_.id] = shown;
    else if (ended_ && whole) c_.s.desk.sheet.typed.erase(c_.id);
  }

 private:
  const Cells& c_;
  bool begun_ = false, ended_ = false, done_ = false;
};

/// A list to choose one way of saying it from. Returns the one chosen now, or -1.
int ways(const Cells& c, const std::string& mark, const std::vector<std::string>& words, std::size_t now, bool usual) {
  int chosen = -1;
  ImGui::SetNextItemWidth(field_wide * c.s.em);
  if (usual) ImGui::PushStyleColor(ImGuiCol_Text, usual_ink);
  const bool open = ImGui::BeginCombo("##ways", words[now].c_str());
  if (usual) ImGui::PopStyleColor();
  c.s.mark(mark);
  if (!open) return chosen;
  for (std::size_t i = 0; i < words.size(); ++i) {
    if (ImGui::Selectable(words[i].c_str(), i == now)) chosen = static_cast<int>(i);
    c.s.mark(fmt::format("choice {} {}", mark, i));
  }
  ImGui::EndCombo();
  return chosen;
}

double number_in(const std::string& words, double otherwise) {
  double value = 0;
  const auto [end, error] = std::from_chars(words.data(), words.data() + words.size(), value);
  return error == std::errc() && end == words.data() + words.size() ? value : otherwise;
}

}  // namespace

void bearing_cells(const Cells& c) {
  const float em = c.s.em, field_x = ImGui::GetCursorPosX();
  std::vector<std::string> shown = shown_of(c);
  const bool each = shown.size() > 1;
  const int way = ways(c, "round " + c.id, {say("the same all round"), say("bearing by bearing")}, each ? 1 : 0, !said(shown));
  if (way == 0 && each) {
    std::string highest = shown[1];
    for (std::size_t i = 3; i < shown.size(); i += 2)
      if (number_in(shown[i], 0) > number_in(highest, 0)) highest = shown[i];
    return put(c, {highest});
  }
  if (way == 1 && !each) {
    const std::string height = said(shown) ? shown[0] : c.usual[0];
    return put(c, {"0", height, "180", height});
  }
  Typing typing(c);
  ImGui::SetCursorPosX(field_x);
  if (!each) {
    shown.resize(1);
    typing.cell("key " + c.id, shown[0], c.usual[0], part_wide);
    ImGui::SameLine(0, 0.1f * em);
    ImGui::TextDisabled("°");
    return typing.end(shown, true);
  }
  ImGui::TextDisabled("%s", say("bearing").c_str());
  ImGui::SameLine(field_x + (part_wide + 1.4f) * em);
  ImGui::TextDisabled("%s", say("height").c_str());
  std::optional<std::size_t> split, leave;
  for (std::size_t i = 0; i + 1 < shown.size(); i += 2) {
    ImGui::SetCursorPosX(field_x);
    typing.cell(i == 0 ? "key " + c.id : fmt::format("key {}.{}", c.id, i + 1), shown[i], "", part_wide);
    ImGui::SameLine(0, 0.1f * em);
    ImGui::TextDisabled("°");
    ImGui::SameLine(field_x + (part_wide + 1.4f) * em);
    typing.cell(fmt::format("key {}.{}", c.id, i + 2), shown[i + 1], "", part_wide);
    ImGui::SameLine(0, 0.1f * em);
    ImGui::TextDisabled("°");
    ImGui::SameLine(field_x + (2 * part_wide + 2.8f) * em);
    if (button(c.s, fmt::format("split {} {}", c.id, i / 2), "+")) split = i;
    tip(say("One more bearing behind this one"));
    if (shown.size() > 2) {
      ImGui::SameLine(0, 0.2f * em);
      if (button(c.s, fmt::format("leave {} {}", c.id, i / 2), "×")) leave = i;
      tip(say("Takes this bearing out"));
    }
  }
  if (split) {
    const double from = number_in(shown[*split], 0), to = *split + 2 < shown.size() ? number_in(shown[*split + 2], 360) : 360;
    const std::size_t at = *split + 2;
    const std::string height = shown[*split + 1];
    shown.insert(shown.begin() + static_cast<std::ptrdiff_t>(at), {number_text(std::round((from + to) / 2)), height});
    return put(c, shown);
  }
  if (leave) {
    shown.erase(shown.begin() + static_cast<std::ptrdiff_t>(*leave), shown.begin() + static_cast<std::ptrdiff_t>(*leave) + 2);
    return put(c, shown);
  }
  typing.end(shown, std::none_of(shown.begin(), shown.end(), [](const std::string& f) { return f.empty(); }));
}

void lamp_cells(const Cells& c) {
  const float em = c.s.em, field_x = ImGui::GetCursorPosX();
  std::vector<std::string> shown = shown_of(c);
  struct Row { std::string name; bool group = false, hand = false; };
  std::vector<Row> rows;
  for (int i = 0; i < entry_count(c.file, "lamp"); ++i) {
    const TomlNode* kind = key_node(c.file, {"lamp", i, ""}, "kind");
    rows.push_back({entry_name(c.file, "lamp", i), false, kind && kind->text == "hand"});
  }
  for (int i = 0; i < entry_count(c.file, "lamp"); ++i) {
    const TomlNode* group = key_node(c.file, {"lamp", i, ""}, "group");
    if (group && !group->text.empty() && std::none_of(rows.begin(), rows.end(), [&](const Row& r) { return r.name == group->text; })) rows.push_back({group->text, true, false});
  }
  const bool word = !said(shown) || (shown.size() == 1 && (shown[0] == "on" || shown[0] == "off"));
  const std::string now = said(shown) ? shown[0] : c.usual[0];
  std::vector<std::string> offered{say("all off"), say("all on")};
  if (!rows.empty() || !word) offered.push_back(say("these"));
  const int way = ways(c, "key " + c.id, offered, !word ? 2 : now == "on" ? 1 : 0, !said(shown));
  if (way == 0) return put(c, {"off"});
  if (way == 1) return put(c, {"on"});
  if (way == 2 && word) return put(c, {rows.front().name});
  if (word) return;
  std::vector<LampItem> items;
  for (const std::string& f : shown) items.push_back(lamp_item(f));
  for (const LampItem& item : items)
    if (std::none_of(rows.begin(), rows.end(), [&](const Row& r) { return r.name == item.name; })) rows.push_back({item.name, false, false});
  ImGui::SetCursorPosX(field_x);
  ImGui::TextDisabled("%s", say("dimmed to").c_str());
  tip(say("The share of the light that the lamp is set to: 0.4 is two fifths."));
  Typing typing(c);
  bool ticked = false;
  const std::string unit = unit_of(*find_key("moment.lamps", "at"), units_of(c.file));
  for (const Row& r : rows) {
    const auto item = std::find_if(items.begin(), items.end(), [&](const LampItem& i) { return i.name == r.name; });
    bool on = item != items.end();
    ImGui::SetCursorPosX(c.x + 0.8f * em);
    const std::string label = r.group ? say("group {}", r.name) : r.name;
    if (ImGui::Checkbox(fmt::format("{}###tick {}", label, r.name).c_str(), &on)) {
      ticked = true;
      if (on) items.push_back({r.name, "", {}, {}});
      else items.erase(item);
    }
    c.s.mark(fmt::format("lamp {} {}", c.id, r.name));
    if (!on || ticked) continue;
    // the column moves over for a long name
    ImGui::SameLine();
    ImGui::SetCursorPosX(std::max(field_x, ImGui::GetCursorPosX()));
    typing.cell(fmt::format("dim {} {}", c.id, r.name), item->dim, "1", part_wide);
    if (!r.hand && said({item->at.begin(), item->at.end()}) + said({item->aim.begin(), item->aim.end()}) == 0) continue;
    const std::pair<const char*, std::array<std::string, 3>*> points[] = {{later("held at"), &item->at}, {later("points along"), &item->aim}};
    for (const auto& [words, point] : points) {
      ImGui::SetCursorPosX(c.x + 2.4f * em);
      ImGui::AlignTextToFramePadding();
      ImGui::TextDisabled("%s", std::string(phrase(words)).c_str());
      ImGui::SameLine(field_x);
      for (std::size_t k = 0; k < 3; ++k) {
        if (k > 0) ImGui::SameLine(0, gap_wide * em);
        typing.cell(fmt::format("{} {} {}.{}", point == &item->at ? "held" : "points", c.id, r.name, k + 1), (*point)[k], k == 0 ? "x" : k == 1 ? "y" : "z", part_wide);
      }
      if (point != &item->at) continue;
      ImGui::SameLine(0, gap_wide * em);
      ImGui::TextDisabled("%s", unit.c_str());
    }
  }
  bool whole = true;
  for (const LampItem& item : items)
    for (const auto* point : {&item.at, &item.aim}) {
      const auto given = std::count_if(point->begin(), point->end(), [](const std::string& p) { return !p.empty(); });
      whole = whole && (given == 0 || given == 3);
    }
  shown.clear();
  for (const LampItem& item : items) shown.push_back(lamp_field(item));
  if (ticked) return put(c, shown.empty() ? std::vector<std::string>{"off"} : shown);
  typing.end(shown, whole);
}

void tick_cells(const Cells& c, const std::vector<std::string>& words) {
  const float field_x = ImGui::GetCursorPosX(), end = c.x + (name_wide + field_wide) * c.s.em;
  std::vector<std::string> all = words, chosen;
  for (const std::string& f : c.fields)
    if (!f.empty()) {
      chosen.push_back(f);
      if (std::find(all.begin(), all.end(), f) == all.end()) all.push_back(f);
    }
  if (all.empty()) {
    ImGui::AlignTextToFramePadding();
    ImGui::TextDisabled("%s", say("there is nothing to choose").c_str());
    c.s.mark("key " + c.id);
    return;
  }
  float at = field_x;
  for (std::size_t i = 0; i < all.size(); ++i) {
    const float wide = ImGui::CalcTextSize(all[i].c_str()).x + 2.6f * c.s.em;
    if (i > 0 && at + wide <= end) ImGui::SameLine(at);
    else if (i > 0) at = field_x;
    ImGui::SetCursorPosX(at);
    at += wide;
    const auto there = std::find(chosen.begin(), chosen.end(), all[i]);
    bool on = there != chosen.end();
    const bool pressed = ImGui::Checkbox(all[i].c_str(), &on);
    c.s.mark(fmt::format("tick {} {}", c.id, all[i]));
    if (i == 0) c.s.mark("key " + c.id);
    if (!pressed) continue;
    if (on) chosen.push_back(all[i]);
    else chosen.erase(there);
    return put(c, chosen.empty() ? std::vector<std::string>{""} : chosen);
  }
}

void choice_cells(const Cells& c, const std::vector<std::string>& words) {
  const float em = c.s.em, field_x = ImGui::GetCursorPosX();
  const bool given = said(c.fields);
  const std::vector<std::string>& now = given ? c.fields : c.usual;
  for (std::size_t i = 0; i < now.size(); ++i) {
    ImGui::SetCursorPosX(field_x);
    ImGui::PushID(static_cast<int>(i));
    ImGui::SetNextItemWidth((field_wide - 4.2f) * em);
    if (!given) ImGui::PushStyleColor(ImGuiCol_Text, usual_ink);
    const bool open = ImGui::BeginCombo("##word", now[i].c_str());
    if (!given) ImGui::PopStyleColor();
    const std::string mark = i == 0 ? c.id : fmt::format("{}.{}", c.id, i + 1);
    c.s.mark("key " + mark);
    std::vector<std::string> after = now;
    bool changed = false;
    if (open) {
      for (const std::string& word : words) {
        if (ImGui::Selectable(word.c_str(), word == now[i])) {
          after[i] = word;
          changed = true;
        }
        c.s.mark(fmt::format("choice {} {}", mark, word));
      }
      ImGui::EndCombo();
    }
    ImGui::SameLine(0, 0.3f * em);
    if (button(c.s, fmt::format("split {} {}", c.id, i), "+")) {
      after.insert(after.begin() + static_cast<std::ptrdiff_t>(i), now[i]);
      changed = true;
    }
    tip(say("One more behind this one"));
    if (now.size() > 1) {
      ImGui::SameLine(0, 0.2f * em);
      if (button(c.s, fmt::format("leave {} {}", c.id, i), "×")) {
        after.erase(after.begin() + static_cast<std::ptrdiff_t>(i));
        changed = true;
      }
      tip(say("Takes this one out"));
    }
    ImGui::PopID();
    if (changed) return put(c, after);
  }
}

}  // namespace rakelight
