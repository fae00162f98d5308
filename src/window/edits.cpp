#include "window/edits.h"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <fmt/format.h>

#include "base/text.h"
#include "base/units.h"
#include "board/board.h"
#include "job/tree.h"
#include "light/photometry.h"
#include "paint/paint.h"
#include "room/room.h"
#include "sky/bearing.h"
#include "sky/sky.h"

namespace rakelight {
namespace {

std::string_view name_key(std::string_view table) { return table == "joint" ? "id" : "name"; }

/// Index of the entry that bears the name; empty when there is none.
std::optional<std::size_t> index_of(const TomlNode& list, std::string_view table, const std::string& name) {
  if (name.starts_with('#')) {
    std::size_t index = 0;
    const auto [end, error] = std::from_chars(name.data() + 1, name.data() + name.size(), index);
    if (error == std::errc() && end == name.data() + name.size() && index < list.items.size()) return index;
    return std::nullopt;
  }
  for (std::size_t i = 0; i < list.items.size(); ++i) {
    const TomlEntry* entry = list.items[i].find(name_key(table));
    if (entry && entry->value.text == name) return i;
  }
  return std::nullopt;
}

}  // namespace

std::string edit_text(const Edit& edit) {
  std::string value = edit.value;
  std::erase(value, '"');
  return fmt::format("{}{} {}", edit.name.empty() || edit.name[0] == '#' ? "" : edit.name + ": ", edit.key, value);
}

JobText with_edit(const JobText& text, const Edit& edit, Diagnostics& diagnostics) {
  if (edit.name.empty()) {
    const std::optional<TomlNode> file = parse_tree(text.text(), diagnostics);
    if (!file) return text;
    if (!edit.table.empty() && !file->find(edit.table)) {
      const std::string newline = text.text().ends_with('\n') ? "" : "\n";
      const std::size_t end = text.text().size();
      return text.spliced({end, end}, fmt::format("{}\n[{}]\n{} = {}\n", newline, edit.table, edit.key, edit.value));
    }
    return text.with(edit.table.empty() ? edit.key : edit.table + "." + edit.key, edit.value, diagnostics);
  }
  const std::optional<TomlNode> file = parse_tree(text.text(), diagnostics);
  if (!file) return text;
  const TomlEntry* list = file->find(edit.table);
  if (list && list->value.type == TomlNode::Type::list)
    if (const auto index = index_of(list->value, edit.table, edit.name))
      return text.with(fmt::format("{}[{}].{}", edit.table, *index, edit.key), edit.value, diagnostics);
  if (edit.table != "joint" && edit.table != "surface") {
    diagnostics.error({}, fmt::format("the job has no [[{}]] named \"{}\"", edit.table, edit.name), "an entry with that name");
    return text;
  }
  const std::string newline = text.text().ends_with('\n') ? "" : "\n";
  const std::size_t end = text.text().size();
  return text.spliced({end, end}, fmt::format("{}\n[[{}]]\n{} = {}\n{} = {}\n", newline, edit.table, name_key(edit.table), text_value(edit.name), edit.key, edit.value));
}

JobText with_edits(JobText text, const std::vector<Edit>& edits, Diagnostics& diagnostics) {
  for (const Edit& edit : edits) text = with_edit(text, edit, diagnostics);
  return text;
}

void put_edit(std::vector<Edit>& edits, const Edit& edit) {
  for (Edit& e : edits)
    if (e.table == edit.table && e.name == edit.name && e.key == edit.key) {
      e.value = edit.value;
      return;
    }
  edits.push_back(edit);
}

void check_text(const JobText& text, const Loader& loader, Diagnostics& diagnostics) {
  std::optional<Job> job = read_job(text, diagnostics);
  if (!job) return;
  check_paints(*job, diagnostics);
  load_photometry(*job, loader, diagnostics);
  job->site = located(*job, diagnostics);
  if (const auto room = make_room(*job, diagnostics)) {
    make_viewers(*job, *room, diagnostics);
    lay_all(*job, *room, diagnostics);
  }
  make_moments(*job, diagnostics);
}

std::string length_value(Units units, double metres) {
  if (units == Units::inch) return number_text(std::round(metres * mm_per_m / mm_per_inch * 64) / 64);
  return number_text(std::round(metres * mm_per_m * 10) / 10);
}

std::string point_value(Units units, dvec3 p) {
  return fmt::format("[{}, {}, {}]", length_value(units, p.x), length_value(units, p.y), length_value(units, p.z));
}

std::string text_value(const std::string& text) {
  std::string out = "\"";
  for (const char c : text) {
    if (c == '"' || c == '\\') out += '\\';
    if (static_cast<unsigned char>(c) >= 0x20) out += c;
  }
  return out + "\"";
}

std::string time_value(const LocalTime& t) {
  std::string text = fmt::format("{:04}-{:02}-{:02}T{:02}:{:02}:{:02}", t.year, t.month, t.day, t.hour, t.minute, static_cast<int>(t.second));
  if (t.offset_minutes) {
    const int minutes = std::abs(*t.offset_minutes);
    text += fmt::format("{}{:02}:{:02}", *t.offset_minutes < 0 ? '-' : '+', minutes / 60, minutes % 60);
  }
  return text;
}

std::string first_job(const FirstRoom& room) {
  const double length = std::round(room.length * mm_per_m), width = std::round(room.width * mm_per_m), height = std::round(room.height * mm_per_m);
  // sizes that fit the smallest room that is taken, too
  const double opening = std::min(1500.0, std::round(0.5 * width)), from_left = std::round(std::min(300.0, 0.2 * width));
  const double sill = std::round(std::min(850.0, 0.34 * height)), window_height = std::round(std::min(1400.0, height - sill - 150));
  const double door = std::min(826.0, std::round(0.5 * width)), door_left = std::round(std::max(0.0, std::min(500.0, width - door)));
  return fmt::format(R"(# A room of your own. Lengths are millimetres, angles degrees, times the clock on the wall.
format = 1
title = "My room"

[site]
time_zone = {0}   # its city's place is taken until latitude and longitude are given
north = {1}                 # compass bearing of "up" on the plan: the way the window looks

[room]
corners = [[0, 0], [0, {2}], [{3}, {2}], [{3}, 0]]
walls = ["long", "window", "party", "door"]
height = {4}

[[window]]
name = "W1"
wall = "window"
from_left = {5}              # from the wall's left end, seen from inside
sill = {6}
width = {7}
height = {8}

[[door]]
wall = "door"
from_left = {9}
width = {10}
height = {11}

[[surface]]
name = "long"
run = "horizontal"
sheet = [1200, 3000]
level = "4"
paint = "matt"

[finishing]
scheme = "c840"
workmanship = "everyday"

[[moment]]
name = "midsummer evening"
at = 2026-06-21T20:00:00
sky = "clear"

[[moment]]
name = "midsummer morning"
at = 2026-06-21T07:30:00
sky = "clear"

[[moment]]
name = "March afternoon"
at = 2026-03-20T16:30:00
sky = "clear"

[[moment]]
name = "overcast noon"
at = 2026-11-10T12:00:00
sky = "overcast"
)",
                     text_value(room.zone), number_text(room.north_deg), number_text(length), number_text(width), number_text(height), number_text(from_left),
                     number_text(sill), number_text(opening), number_text(window_height), number_text(door_left), number_text(door),
                     number_text(std::min(2040.0, height - 100)));
}

}  // namespace rakelight
