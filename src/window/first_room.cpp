#include "window/first_room.h"

#include <cmath>
#include <fmt/format.h>

#include "base/inches.h"
#include "base/say.h"
#include "base/text.h"
#include "base/units.h"
#include "job/values.h"
#include "window/edits.h"
#include "window/job_entries.h"
#include "window/job_values.h"

namespace rakelight {
namespace {

/// Of what was typed as a length, in the job's unit; empty when it is none.
std::optional<double> length_of(const std::string& value, Units units) {
  const auto node = parse_value(value);
  if (!node) return std::nullopt;
  if (node->is_number()) return node->number;
  return units == Units::inch ? inches_from_text(node->text) : std::nullopt;
}

}  // namespace

std::vector<FirstQuestion> first_questions() {
  return {
      {later("2 Where it is, and which way it points"), "declination", "site", "declination", later("compass: points so many degrees east of north")},
      {nullptr, "sun wall", "site", "seen", later("or the sun: first ran along wall")},
      {nullptr, "sun at", "site", "seen", later("on (date) at (time)")},
      {later("3 The window"), "window edge", "window", "from_left", later("from the long wall to its edge")},
      {nullptr, "window width", "window", "width", later("width")},
      {nullptr, "window sill", "window", "sill", later("sill")},
      {nullptr, "window head", "window", "height", later("head to ceiling")},
      {nullptr, "window reveal", "window", "reveal", later("reveal")},
      {nullptr, "window cover", "window", "cover", later("cover: none, sheer or blind")},
      {later("4 A lamp, now or planned"), "lamp kind", "lamp", "kind", later("kind: downlight, pendant, wall …")},
      {nullptr, "lamp off", "lamp", "at", later("off the long wall")},
      {nullptr, "lamp along", "lamp", "at", later("along it from the left")},
      {nullptr, "lamp up", "lamp", "at", later("above the floor")},
      {nullptr, "lamp flux", "lamp", "flux", later("lumen")},
      {nullptr, "lamp beam", "lamp", "beam", later("beam, degrees")},
      {later("5 What stands outside"), "skyline", "site", "skyline", later("skyline, degrees high (a fist held out is 10)")},
      {nullptr, "ground", "site", "ground_reflectance", later("ground: grass 0.2, paving 0.3, snow 0.8")},
      {later("6 Framing and boards"), "spacing", "framing", "spacing", later("spacing of studs or battens")},
      {nullptr, "direction", "framing", "direction", later("they run: upright or horizontal")},
      {nullptr, "gap", "framing", "flatness", later("largest gap under a rule of 1,800 mm or 6 ft")},
      {nullptr, "sheet width", "surface", "sheet", later("sheets, width")},
      {nullptr, "sheet length", "surface", "sheet", later("sheets, length")},
      {nullptr, "edge", "surface", "edge", later("long edges: recessed, square …")},
      {later("7 Finish and paint"), "level", "surface", "level", later("level asked for")},
      {nullptr, "paint", "surface", "paint", later("paint: dead-matt, matt, low-sheen, satin, gloss")},
      {nullptr, "colour", "surface", "reflectance", later("colour: white 0.85, off-white 0.75, mid 0.4, dark 0.12")},
  };
}

std::string first_job(const FirstRoom& room, const std::map<std::string, std::string>& said, Diagnostics& diagnostics) {
  const Units units = room.inches ? Units::inch : Units::millimetre;
  JobText text(starter_job(room));
  const auto typed = [&](const std::string& name) {
    const auto at = said.find(name);
    return at == said.end() || at->second.find_first_not_of(" \t") == std::string::npos ? std::string() : at->second;
  };
  const auto place = [](const std::string& table) { return TablePlace{table, find_table(table)->many ? 0 : -1, ""}; };
  const auto put = [&](const std::string& table, const std::string& key, const std::vector<std::string>& fields) {
    const std::string value = value_of_fields(*find_key(table, key), units, fields);
    if (!value.empty()) text = with_key(text, place(table), key, value, diagnostics);
  };
  const auto in_unit = [&](double metres) { return length_value(units, metres); };
  // a lamp is there when anything of it was said
  const std::string off = typed("lamp off"), along = typed("lamp along"), up = typed("lamp up"), kind = typed("lamp kind");
  if (!(off + along + up + kind + typed("lamp flux") + typed("lamp beam")).empty()) {
    const std::vector<std::string> at{off.empty() ? in_unit(0.3) : off, along.empty() ? in_unit(0.5 * room.length) : along, up.empty() ? in_unit(room.height) : up};
    text = with_entry(text, "lamp", {{"name", "\"L1\""}, {"kind", text_value(kind.empty() ? "downlight" : kind)}, {"at", value_of_fields(*find_key("lamp", "at"), units, at)}}, diagnostics);
    text = with_entry(text, "moment", {{"name", "\"lamps alone\""}, {"sky", "\"none\""}, {"lamps", "\"on\""}}, diagnostics);
  }
  for (const FirstQuestion& q : first_questions()) {
    const std::string name = q.name, table = q.table, key = q.key, value = typed(name);
    if (value.empty() || (table == "lamp" && key != "flux" && key != "beam")) continue;
    if (name == "declination") put("site", "magnetic", {"true"});
    if (name == "sun wall" || name == "sheet length" || name == "window head") continue;  // with their others, below
    if (name == "sun at") {
      text = without_key(text, place("site"), "north", diagnostics);
      put("site", "seen", {typed("sun wall").empty() ? "long" : typed("sun wall"), value});
    } else if (name == "gap") {
      put("framing", "flatness", {value, room.inches ? "72" : "1800"});
    } else if (name == "sheet width") {
      put("surface", "sheet", {value, typed("sheet length").empty() ? room.inches ? "120" : "3000" : typed("sheet length")});
    } else {
      put(table, key, {value});
    }
  }
  if (typed("sheet width").empty() && !typed("sheet length").empty()) put("surface", "sheet", {room.inches ? "48" : "1200", typed("sheet length")});
  if (const std::string head = typed("window head"); !head.empty()) {
    // the opening is what stands between the sill and the head
    const auto file = parse_tree(text.text(), diagnostics);
    const TomlNode* sill = file ? key_node(*file, place("window"), "sill") : nullptr;
    const std::string sill_text = sill ? text.text().substr(sill->at.begin, sill->at.end - sill->at.begin) : "";
    const auto above = length_of(value_of_fields(*find_key("window", "height"), units, {head}), units), below = length_of(sill_text, units);
    const double height = room.height * mm_per_m / (room.inches ? mm_per_inch : 1);
    put("window", "height", {above && below ? number_text(std::round(64 * (height - *above - *below)) / 64) : head});
  }
  check_text(text, {}, diagnostics);
  return text.text();
}

}  // namespace rakelight
