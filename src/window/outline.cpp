#include "window/outline.h"

#include <imgui.h>
#include <imgui_stdlib.h>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <fmt/format.h>

#include "base/inches.h"
#include "base/say.h"
#include "base/text.h"
#include "base/units.h"
#include "job/values.h"
#include "window/edits.h"
#include "window/renames.h"
#include "window/sheet_edits.h"
#include "window/view.h"

namespace rakelight {
namespace {

constexpr const char* said_id = "room.corners";
constexpr double least_wall = 0.05;    // m

double cross(dvec2 a, dvec2 b) { return a.x * b.y - a.y * b.x; }

/// Metres of what was typed: a number of the job's unit, or feet and inches.
std::optional<double> length_typed(Units units, const std::string& typed) {
  double value = 0;
  const auto [end, error] = std::from_chars(typed.data(), typed.data() + typed.size(), value);
  if (error == std::errc() && end == typed.data() + typed.size() && std::isfinite(value)) return (units == Units::inch ? value * mm_per_inch : value) * m_per_mm;
  if (units == Units::inch)
    if (const auto inches = inches_from_text(typed)) return *inches * mm_per_inch * m_per_mm;
  return std::nullopt;
}

std::string length_shown(Units units, double metres) { return units == Units::inch ? feet_text(metres, 64) : number_text(std::round(metres * mm_per_m * 10) / 10); }

/// The corners as the text has them; empty when they cannot be read.
std::vector<dvec2> corners_of(const TomlNode& file, Units units) {
  std::vector<dvec2> corners;
  const TomlNode* node = key_node(file, {"room", -1, ""}, "corners");
  if (!node || !ValueReader(units).read(*node, *find_key("room", "corners"), corners)) corners.clear();
  return corners;
}

/// The text with other corners: those that stay where they are stay as they are written.
JobText with_corners(const JobText& text, const std::vector<dvec2>& from, const std::vector<dvec2>& to, Units units, Diagnostics& said) {
  JobText out = text;
  for (std::size_t i = 0; i < from.size() && i < to.size(); ++i)
    if (glm::length(from[i] - to[i]) > 1e-6) out = out.with(fmt::format("room.corners[{}]", i), place_value(units, to[i]), said);
  return out;
}

/// A list of room with an item put in before `index`, or with the item at `index` taken out where `item` is empty; the other items stay as they are written.
JobText with_list(const JobText& text, const char* key, std::vector<std::string> items, std::size_t index, const std::string& item, Diagnostics& said) {
  const auto at = items.begin() + static_cast<std::ptrdiff_t>(index);
  if (item.empty()) items.erase(at);
  else items.insert(at, item);
  std::string list;
  for (const std::string& i : items) list += (list.empty() ? "" : ", ") + i;
  return with_key(text, {"room", -1, ""}, key, "[" + list + "]", said);
}

/// The walk with another turn at the end of one wall: all walls keep their lengths but the last, which closes it.
std::vector<dvec2> with_turn(const std::vector<dvec2>& corners, std::size_t wall, double turn_deg) {
  std::vector<Leg> legs = legs_of(corners);
  legs[wall].turn = turn_deg;
  std::vector<dvec2> out = corners;
  const dvec2 first = corners[1] - corners[0];
  double heading = std::atan2(first.y, first.x);
  for (std::size_t i = 0; i + 1 < corners.size(); ++i) {
    out[i + 1] = out[i] + legs[i].length * dvec2(std::cos(heading), std::sin(heading));
    heading -= legs[i].turn * rad_per_deg;
  }
  return out;
}

}  // namespace

std::vector<Leg> legs_of(const std::vector<dvec2>& corners) {
  std::vector<Leg> legs;
  const std::size_t n = corners.size();
  for (std::size_t i = 0; i < n; ++i) {
    const dvec2 a = corners[(i + 1) % n] - corners[i], b = corners[(i + 2) % n] - corners[(i + 1) % n];
    legs.push_back({glm::length(a), -std::atan2(cross(a, b), glm::dot(a, b)) * deg_per_rad});
  }
  return legs;
}

std::optional<std::vector<dvec2>> with_length(const std::vector<dvec2>& corners, std::size_t wall, double length) {
  const std::size_t n = corners.size();
  if (n < 3 || wall >= n || !(length >= least_wall)) return std::nullopt;
  const dvec2 along = corners[(wall + 1) % n] - corners[wall];
  const double now = glm::length(along);
  if (now < 1e-9) return std::nullopt;
  const dvec2 d = along / now, shift = (length - now) * d;
  // the walls behind it are carried along as far as one that runs back along the same line, and takes up the difference
  for (const bool back : {true, false})
    for (std::size_t k = 1; k < n; ++k) {
      const std::size_t w = (wall + k) % n;
      const dvec2 other = corners[(w + 1) % n] - corners[w];
      const double size = glm::length(other), towards = glm::dot(other, d);
      if (size < 1e-9 || std::abs(cross(other, d)) > 1e-6 * size || (towards < 0) != back) continue;
      if (glm::dot(other - shift, other) / size < least_wall) continue;
      std::vector<dvec2> out = corners;
      for (std::size_t j = 1; j <= k; ++j) out[(wall + j) % n] += shift;
      return out;
    }
  std::vector<dvec2> out = corners;
  out[(wall + 1) % n] += shift;
  return out;
}

void outline_editor(Sight& s) {
  SheetDesk& desk = s.desk.sheet;
  const auto file = tree_of(desk, s.model);
  const Units units = file ? units_of(*file) : Units::millimetre;
  const std::vector<dvec2> corners = file ? corners_of(*file, units) : std::vector<dvec2>{};
  text(say("Outline"));
  tip(say("The corners in plan, walked clockwise so that each wall runs left to right seen from inside."));
  if (corners.empty()) {
    wrapped_text(say("The corners cannot be read: put them right in the text."));
    return;
  }
  const JobText now(s.model.history.now().text);
  const auto put = [&](const JobText& changed, Diagnostics& said, const std::string& what) {
    if (said.ok() && (changed.text() == now.text() || s.model.replace(changed.text(), what, said))) desk.wrong.erase(said_id);
    else desk.wrong[said_id] = {{"room", -1, ""}, "corners", {""}, check_words(said, {})};
  };
  const auto move_to = [&](const std::vector<dvec2>& to, const std::string& what) {
    Diagnostics said;
    put(with_corners(now, corners, to, units, said), said, what);
  };
  const auto refuse = [&](const std::string& words) { desk.wrong[said_id] = {{"room", -1, ""}, "corners", {""}, words}; };
  const std::vector<Leg> legs = legs_of(corners);
  const std::size_t n = corners.size();
  const std::vector<std::string> names = wall_names(*file);
  const auto wall_name = [&](std::size_t i) { return names[i]; };
  const float x = ImGui::GetCursorPosX();
  constexpr float at_length = 6.5f, at_turn = 13.2f, at_x = 18.2f, at_y = 23.7f, at_buttons = 29.2f;
  const auto head = [&](float at, const std::string& words) {
    ImGui::SameLine(x + at * s.em);
    ImGui::TextDisabled("%s", words.c_str());
  };
  ImGui::TextDisabled("%s", say("wall").c_str());
  head(at_length, say("length"));
  head(at_turn, say("then right"));
  head(at_x, say("from x"));
  head(at_y, say("from y"));
  struct Typed { int what; std::size_t wall; std::string words; };
  std::optional<Typed> done;
  const auto entry = [&](int what, std::size_t i, float at, float wide, const std::string& shown) {
    static constexpr const char* keys[] = {"length", "turn", "x", "y", "walls"};
    const std::string id = fmt::format("room.{}[{}]", keys[what], i);
    if (at > 0) ImGui::SameLine(x + at * s.em);
    ImGui::SetNextItemWidth(wide * s.em);
    const auto typing = desk.typed.find(id);
    std::string typed = typing == desk.typed.end() ? shown : typing->second[0];
    ImGui::InputText(("##" + id).c_str(), &typed, ImGuiInputTextFlags_AutoSelectAll);
    s.mark("key " + id);
    if (ImGui::IsItemActive()) desk.typed[id] = {typed};
    if (ImGui::IsItemDeactivatedAfterEdit() && typed != shown) done = Typed{what, i, typed};
    if (ImGui::IsItemDeactivated()) desk.typed.erase(id);
  };
  const auto as_written = [&](const char* key) {
    std::vector<std::string> items;
    const TomlNode* list = key_node(*file, {"room", -1, ""}, key);
    if (list)
      for (const TomlNode& item : list->items) items.push_back(now.text().substr(item.at.begin, item.at.end - item.at.begin));
    else
      for (const std::string& name : names) items.push_back(text_value(name));
    return items;
  };
  std::optional<std::size_t> split, leave;
  for (std::size_t i = 0; i < n; ++i) {
    entry(4, i, 0, at_length - 0.2f, wall_name(i));
    entry(0, i, at_length, 6.4f, length_shown(units, legs[i].length));
    entry(1, i, at_turn, 3.6f, number_text(std::round(legs[i].turn * 10) / 10));
    ImGui::SameLine(0, 0.1f * s.em);
    ImGui::TextDisabled("°");
    entry(2, i, at_x, 5.3f, length_shown(units, corners[i].x));
    entry(3, i, at_y, 5.3f, length_shown(units, corners[i].y));
    ImGui::SameLine(x + at_buttons * s.em);
    if (button(s, fmt::format("split wall {}", i), "+")) split = i;
    tip(say("A corner in the middle of this wall"));
    if (n > 3) {
      ImGui::SameLine(0, 0.2f * s.em);
      if (button(s, fmt::format("leave corner {}", i), "×")) leave = i;
      tip(say("Takes out the corner where this wall begins"));
    }
  }
  if (done) {
    const std::string name = wall_name(done->wall);
    double turn = 0;
    const double metres = length_typed(units, done->words).value_or(std::nan(""));
    if (done->what == 4) {
      // all that names the wall follows
      Diagnostics said;
      put(with_wall_named(now, done->wall, done->words, said), said, say("{} is called {}", name, done->words));
    } else if (done->what == 1) {
      const auto [end, error] = std::from_chars(done->words.data(), done->words.data() + done->words.size(), turn);
      if (error != std::errc() || end != done->words.data() + done->words.size() || !(turn > -180 && turn < 180)) refuse(say("the turn after {} cannot be {}", name, done->words) + "\n" + say("right would be: {}", say("degrees between -180 and 180; to the right is positive")));
      else if (done->wall + 2 >= n) refuse(say("the last two turns follow from the others: the walk must end where it began"));
      else move_to(with_turn(corners, done->wall, turn), say("turn after {}", name));
    } else if (std::isnan(metres)) {
      refuse(say("{} is no length", done->words) + "\n" + say("right would be: {}", describe(*find_key("room", "height"), units)));
    } else if (done->what == 0) {
      if (const auto to = with_length(corners, done->wall, metres)) move_to(*to, say("length of {}", name));
      else refuse(say("{} cannot be that long: no wall can take up the difference", name));
    } else {
      std::vector<dvec2> to = corners;
      (done->what == 2 ? to[done->wall].x : to[done->wall].y) = metres;
      move_to(to, say("corner before {}", name));
    }
  }
  if (split) {
    Diagnostics said;
    const dvec2 middle = 0.5 * (corners[*split] + corners[(*split + 1) % n]);
    JobText changed = with_list(now, "corners", as_written("corners"), *split + 1, place_value(units, middle), said);
    std::string name;
    for (int k = 2; name.empty() || std::find(names.begin(), names.end(), name) != names.end(); ++k) name = fmt::format("{} {}", wall_name(*split), k);
    // without names walls are called by letters, which would move on
    changed = with_list(changed, "walls", as_written("walls"), *split + 1, text_value(name), said);
    put(changed, said, say("a corner in {}", wall_name(*split)));
  }
  if (leave) {
    Diagnostics said;
    JobText changed = with_list(now, "corners", as_written("corners"), *leave, "", said);
    changed = with_list(changed, "walls", as_written("walls"), *leave, "", said);
    put(changed, said, say("the corner before {} taken out", wall_name(*leave)));
  }
  if (const auto wrong = desk.wrong.find(said_id); wrong != desk.wrong.end()) {
    const ImVec2 at = ImGui::GetCursorScreenPos();
    ImGui::Indent(0.6f * s.em);
    wrapped_text(wrong->second.said);
    ImGui::Unindent(0.6f * s.em);
    ImGui::GetWindowDrawList()->AddRectFilled(at, {at.x + 0.2f * s.em, ImGui::GetItemRectMax().y}, tone::accent);
    s.mark("said room.corners", at, {at.x + 20 * s.em, ImGui::GetItemRectMax().y});
  }
  soft_wrapped_text(say("A new length carries the corners behind it along; a new turn swings what follows, and the last wall closes the walk. In the grown plan (P) corners are dragged."));
  ImGui::Dummy({0, 0.5f * s.em});
}

}  // namespace rakelight
