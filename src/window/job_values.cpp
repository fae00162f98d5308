#include "window/job_values.h"

#include <algorithm>
#include <charconv>
#include <cmath>

#include "base/text.h"
#include "base/units.h"
#include "job/values.h"
#include "paint/paint.h"
#include "window/edits.h"

namespace rakelight {
namespace {

std::string trimmed(std::string_view text) {
  const auto from = text.find_first_not_of(" \t\r\n"), to = text.find_last_not_of(" \t\r\n");
  return from == text.npos ? "" : std::string(text.substr(from, to - from + 1));
}

bool is_number(std::string_view text) {
  double value = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (error != std::errc() || end != text.data() + text.size()) return false;
  const auto node = parse_value(text);
  return node && node->is_number();
}

bool of_lengths(const KeyRow& row) {
  switch (row.kind) {
    case KeyKind::length: case KeyKind::size: case KeyKind::point: case KeyKind::place: case KeyKind::flatness: case KeyKind::lengths: case KeyKind::lengths_in_order: case KeyKind::corners: return true;
    default: return false;
  }
}

/// A number as it is, else text: what is no number is called by its own words then.
std::string one(const std::string& typed) {
  if (is_number(typed)) return typed;
  // people write a decimal comma, and a leading + or point
  return text_value(typed);
}

std::vector<std::string> split(std::string_view text) {
  std::vector<std::string> parts;
  int depth = 0;
  std::string part;
  for (const char c : text) {
    depth += c == '{' || c == '[' ? 1 : c == '}' || c == ']' ? -1 : 0;
    if (c == ',' && depth == 0) {
      parts.push_back(trimmed(part));
      part.clear();
    } else {
      part += c;
    }
  }
  parts.push_back(trimmed(part));
  std::erase(parts, "");
  return parts;
}

std::string lamp_value(const std::string& item) { return item.starts_with('{') && parse_value(item) ? item : text_value(item); }

template <class F> std::string list_of(const std::vector<std::string>& parts, F&& item) {
  std::string out = "[";
  for (const std::string& part : parts) out += (out.size() == 1 ? "" : ", ") + item(part);
  return out + "]";
}

/// "2026-06-21 20:40" as TOML wants it.
std::string as_time(std::string typed, bool date) {
  if (!date && typed.size() >= 16 && typed[10] == ' ') typed[10] = 'T';
  if (!date && (typed.size() == 16 || (typed.size() > 16 && typed[16] != ':'))) typed.insert(16, ":00");
  const auto node = parse_value(typed);
  return node && (node->type == TomlNode::Type::time || node->type == TomlNode::Type::date) ? typed : text_value(typed);
}

std::string shown(const TomlNode& node, std::string_view text) {
  if (node.type == TomlNode::Type::text) return node.text;
  std::string raw;
  for (const char c : text.substr(node.at.begin, node.at.end - node.at.begin)) {
    const bool space = c == '\n' || c == '\r' || c == '\t' || c == ' ';
    if (!space) raw += c;
    else if (!raw.empty() && raw.back() != ' ') raw += ' ';
  }
  return raw;
}

}  // namespace

int field_count(const KeyRow& row) {
  switch (row.kind) {
    case KeyKind::point: case KeyKind::direction: return 3;
    case KeyKind::size: case KeyKind::place: case KeyKind::flatness: case KeyKind::seen: return 2;
    default: return 1;
  }
}

Control control_of(const KeyRow& row) {
  switch (row.kind) {
    case KeyKind::flag: return Control::tick;
    case KeyKind::word: return Control::choice;
    case KeyKind::corners: return Control::outline;
    case KeyKind::skyline: return Control::bearings;
    case KeyKind::lamps: return Control::lamps;
    case KeyKind::words: return row.standard.empty() ? Control::ticks : Control::choices;
    case KeyKind::names: return row.table == "room" ? Control::outline : Control::ticks;
    case KeyKind::whole: case KeyKind::number: case KeyKind::degrees: case KeyKind::length: case KeyKind::angle: case KeyKind::text: case KeyKind::word_or_number: case KeyKind::size:
    case KeyKind::point: case KeyKind::direction: case KeyKind::lengths: case KeyKind::lengths_in_order: case KeyKind::time: case KeyKind::look: case KeyKind::paint: case KeyKind::seen:
    case KeyKind::place: case KeyKind::date: case KeyKind::flatness: case KeyKind::word_or_table: return Control::fields;
  }
  return Control::fields;
}

bool any_count(const KeyRow& row) {
  const Control control = control_of(row);
  return control == Control::bearings || control == Control::lamps || control == Control::ticks || control == Control::choices;
}

LampItem lamp_item(const std::string& field) {
  LampItem item;
  const auto node = field.starts_with('{') ? parse_value(field) : std::nullopt;
  if (!node || node->type != TomlNode::Type::table) {
    item.name = field;
    return item;
  }
  const auto said = [&](const TomlNode& n) { return shown(n, field); };
  for (const TomlEntry& e : node->entries) {
    std::array<std::string, 3>* point = e.key == "at" ? &item.at : e.key == "aim" ? &item.aim : nullptr;
    if (e.key == "name") item.name = said(e.value);
    else if (e.key == "dim") item.dim = said(e.value);
    else if (point && e.value.type == TomlNode::Type::list)
      for (std::size_t i = 0; i < std::min<std::size_t>(3, e.value.items.size()); ++i) (*point)[i] = said(e.value.items[i]);
  }
  return item;
}

std::string lamp_field(const LampItem& item) {
  std::string out = "name = " + text_value(item.name);
  bool more = false;
  const auto put = [&](const std::string& key, const std::string& value) {
    out += ", " + key + " = " + value;
    more = true;
  };
  if (!trimmed(item.dim).empty()) put("dim", one(trimmed(item.dim)));
  for (const auto& [key, point] : {std::pair{"at", item.at}, std::pair{"aim", item.aim}})
    if (std::any_of(point.begin(), point.end(), [](const std::string& p) { return !trimmed(p).empty(); })) put(key, list_of({trimmed(point[0]), trimmed(point[1]), trimmed(point[2])}, one));
  return more ? "{ " + out + " }" : item.name;
}

std::vector<std::string> fields_of(const KeyRow& row, const TomlNode& node, std::string_view text) {
  const auto count = static_cast<std::size_t>(field_count(row));
  std::vector<std::string> fields;
  if (any_count(row) && node.type == TomlNode::Type::list) {
    for (const TomlNode& item : node.items) {
      const bool pair = row.kind == KeyKind::skyline && item.type == TomlNode::Type::list;
      if (!pair) fields.push_back(shown(item, text));
      for (const TomlNode& part : item.items)
        if (pair) fields.push_back(shown(part, text));
    }
    return fields;
  }
  if (row.kind == KeyKind::seen && node.type == TomlNode::Type::table) {
    for (const char* key : {"wall", "at"}) {
      const TomlEntry* part = node.find(key);
      fields.push_back(part ? shown(part->value, text) : "");
    }
    return fields;
  }
  if (node.type == TomlNode::Type::list && (count > 1 || std::all_of(node.items.begin(), node.items.end(), [](const TomlNode& n) { return n.type != TomlNode::Type::list; }))) {
    for (const TomlNode& item : node.items) fields.push_back(shown(item, text));
    if (count == 1) {
      std::string all;
      for (const std::string& f : fields) all += (all.empty() ? "" : ", ") + f;
      return {all};
    }
  } else {
    fields.push_back(shown(node, text));
  }
  fields.resize(count);
  return fields;
}

std::vector<std::string> usual_fields(const KeyRow& row, Units units) {
  if (row.standard.empty()) return {};
  const std::string text = "x = " + std::string(row.standard);
  Diagnostics ignored;
  const auto line = parse_tree(text, ignored);
  const TomlNode* node = &line->entries.front().value;
  std::vector<std::string> fields = fields_of(row, *node, text);
  if (any_count(row)) return fields;
  if (units == Units::inch && of_lengths(row)) {
    // the defaults of the table are in mm
    const auto inches = [](double mm) { return number_text(std::round(mm / mm_per_inch * 64) / 64); };
    std::vector<std::string> each;
    for (const TomlNode& item : node->items) each.push_back(inches(item.number));
    if (node->items.empty()) each.push_back(inches(node->number));
    if (fields.size() > 1) return each;
    fields[0].clear();
    for (const std::string& e : each) fields[0] += (fields[0].empty() ? "" : ", ") + e;
  }
  return fields;
}

std::string value_of_fields(const KeyRow& row, Units units, const std::vector<std::string>& fields) {
  std::vector<std::string> parts;
  for (const std::string& f : fields) {
    parts.push_back(trimmed(f));
    // 1/8 and 6-1/2 are inches where the field is one of inches
    std::string& part = parts.back();
    const bool fraction = part.find('/') != part.npos && part.find_first_not_of("0123456789/-' ") == part.npos;
    if (units == Units::inch && of_lengths(row) && fraction) part += '"';
  }
  if (std::all_of(parts.begin(), parts.end(), [](const std::string& p) { return p.empty(); })) return "";
  if (row.kind == KeyKind::skyline && parts.size() > 1) {
    std::string out;
    for (std::size_t i = 0; i + 1 < parts.size(); i += 2) out += (out.empty() ? "[" : ", [") + one(parts[i]) + ", " + one(parts[i + 1]) + "]";
    return "[" + out + "]";
  }
  if (row.kind == KeyKind::lamps && parts.size() > 1) return list_of(parts, lamp_value);
  if ((row.kind == KeyKind::words || row.kind == KeyKind::names) && parts.size() > 1) return list_of(parts, text_value);
  if (row.kind == KeyKind::seen && parts.size() == 2) return "{ wall = " + text_value(parts[0]) + ", at = " + as_time(parts[1], false) + " }";
  if (parts.size() > 1) return list_of(parts, one);
  const std::string& typed = parts[0];
  const auto whole = [&] {
    const auto node = parse_value(typed);
    return node && (node->type == TomlNode::Type::list || node->type == TomlNode::Type::table);
  };
  switch (row.kind) {
    case KeyKind::text: case KeyKind::word: return text_value(typed);
    case KeyKind::whole: case KeyKind::number: case KeyKind::degrees: case KeyKind::length: case KeyKind::angle: case KeyKind::word_or_number: return one(typed);
    case KeyKind::time: return as_time(typed, false);
    case KeyKind::date: return as_time(typed, true);
    case KeyKind::flag: return typed == "true" || typed == "false" ? typed : text_value(typed);
    case KeyKind::names: return list_of(split(typed), text_value);
    case KeyKind::lengths: case KeyKind::lengths_in_order: return list_of(split(typed), one);
    case KeyKind::words: {
      const auto words = split(typed);
      return words.size() == 1 ? text_value(words[0]) : list_of(words, text_value);
    }
    case KeyKind::lamps: {
      if (typed == "on" || typed == "off") return text_value(typed);
      return list_of(split(typed), lamp_value);
    }
    case KeyKind::look: {
      if (whole()) return typed;
      const auto numbers = split(typed);
      return numbers.size() == 3 ? list_of(numbers, one) : text_value(typed);
    }
    case KeyKind::paint: case KeyKind::word_or_table: case KeyKind::seen: case KeyKind::corners: return whole() ? typed : text_value(typed);
    case KeyKind::skyline: return whole() ? typed : one(typed);
    case KeyKind::size: case KeyKind::point: case KeyKind::direction: case KeyKind::place: case KeyKind::flatness: break;
  }
  return list_of(parts, one);
}

std::string unit_of(const KeyRow& row, Units units) {
  if (of_lengths(row)) return units == Units::inch ? "in" : "mm";
  if (row.kind == KeyKind::angle || row.kind == KeyKind::degrees || row.kind == KeyKind::skyline) return "°";
  if (row.key == "flux") return "lm";
  return row.key == "each_kg" ? "kg" : "";
}

std::vector<std::string> choices(const KeyRow& row, const Study* study) {
  std::vector<std::string> all = split_words(row.words);
  const auto walls = [&] {
    if (study)
      for (int i = 0; i < study->room.wall_count(); ++i) all.push_back(study->room.surfaces[i].name);
  };
  if (row.table == "") return all;
  if (row.key == "wall" || row.kind == KeyKind::seen) {
    walls();
    if (row.table == "window") all.push_back("ceiling");
  } else if (row.table == "surface" && row.key == "name") {
    walls();
    all.push_back("ceiling");
  } else if (row.key == "run") {
    all = {"auto", "horizontal", "upright"};
    walls();
  } else if (row.key == "look") {
    walls();
    all.insert(all.end(), {"ceiling", "floor"});
  } else if (row.key == "level") {
    if (study)
      for (const Level& level : study->scheme.levels) all.push_back(level.id);
  } else if (row.kind == KeyKind::paint || row.key == "class") {
    all = paint_ids();
  } else if (row.key == "readings") {
    if (study)
      for (const Reading& reading : study->scheme.readings) all.push_back(reading.id);
  } else if (row.key == "scheme") {
    all = scheme_ids();
  } else if (row.key == "photometry") {
    all = {"generic-narrow", "generic-medium", "generic-wide", "generic-wall-washing", "generic-strip"};
  } else if (row.table == "joint" && row.key == "id" && study) {
    for (const Layout& layout : study->layouts)
      for (const JointLine& joint : layout.joints) all.push_back(joint.id);
  }
  return all;
}

}  // namespace rakelight
