#include "window/edits.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

#include "base/text.h"
#include "base/units.h"
#include "board/board.h"
#include "job/tree.h"
#include "job/value_splice.h"
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
  // an entry without a name has its number's
  const std::string_view letter = table == "window" ? "W" : table == "lamp" ? "L" : table == "moment" ? "T" : table == "viewer" ? "V" : "";
  for (std::size_t i = 0; i < list.items.size(); ++i) {
    const TomlEntry* entry = list.items[i].find(name_key(table));
    if (entry ? entry->value.text == name : !letter.empty() && name == fmt::format("{}{}", letter, i + 1)) return i;
  }
  return std::nullopt;
}

}  // namespace

std::string edit_text(const Edit& edit) {
  std::string value = edit.value;
  std::erase(value, '"');
  return fmt::format("{}{} {}", edit.name.empty() ? "" : edit.name + ": ", edit.key, value);
}

JobText with_edit(const JobText& text, const Edit& edit, Diagnostics& diagnostics) {
  if (edit.name.empty()) {
    const std::optional<TomlNode> file = parse_tree(text.text(), diagnostics);
    if (!file) return text;
    if (!edit.table.empty() && !file->find(edit.table)) {
      const std::string line = newline_of(text.text()), before = text.text().ends_with('\n') ? "" : line;
      const std::size_t end = text.text().size();
      return text.spliced({end, end}, fmt::format("{}{}[{}]{}{} = {}{}", before, line, edit.table, line, edit.key, edit.value, line));
    }
    return text.with(edit.table.empty() ? edit.key : edit.table + "." + edit.key, edit.value, diagnostics);
  }
  const std::optional<TomlNode> file = parse_tree(text.text(), diagnostics);
  if (!file) return text;
  const TomlEntry* list = file->find(edit.table);
  if (list && list->value.type == TomlNode::Type::list)
    if (const auto index = index_of(list->value, edit.table, edit.name))
      return edit.value.empty() ? text.without(fmt::format("{}[{}].{}", edit.table, *index, edit.key), diagnostics) : text.with(fmt::format("{}[{}].{}", edit.table, *index, edit.key), edit.value, diagnostics);
  if (edit.value.empty() && list) return text;
  if (edit.table != "joint" && edit.table != "surface" && edit.table != "viewer") {
    diagnostics.error({}, fmt::format("the job has no [[{}]] named \"{}\"", edit.table, edit.name), "an entry with that name");
    return text;
  }
  const std::string line = newline_of(text.text()), before = text.text().ends_with('\n') ? "" : line;
  const std::size_t end = text.text().size();
  return text.spliced({end, end}, fmt::format("{}{}[[{}]]{}{} = {}{}{} = {}{}", before, line, edit.table, line, name_key(edit.table), text_value(edit.name), line, edit.key, edit.value, line));
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

std::string place_value(Units units, dvec2 p) { return fmt::format("[{}, {}]", length_value(units, p.x), length_value(units, p.y)); }

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

}  // namespace rakelight
