#include "job/values.h"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>

#include "base/units.h"

namespace rakelight {
namespace {

bool in_range(const KeyRow& row, double value) { return std::isfinite(value) && value >= row.least && value <= row.most; }

/// A number without sign at the front of `text`, which loses it.
std::optional<double> take_number(std::string_view& text) {
  if (text.empty() || (text[0] != '.' && (text[0] < '0' || text[0] > '9'))) return std::nullopt;
  double value = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value, std::chars_format::fixed);
  if (error != std::errc()) return std::nullopt;
  text.remove_prefix(static_cast<std::size_t>(end - text.data()));
  return value;
}

void skip_blanks(std::string_view& text) { text.remove_prefix(std::min(text.find_first_not_of(' '), text.size())); }

}  // namespace

std::optional<double> inches_from_text(std::string_view text) {
  skip_blanks(text);
  const double sign = text.starts_with('-') ? -1 : 1;
  if (sign < 0) text.remove_prefix(1);
  double inches = 0;
  std::optional<double> number = take_number(text);
  if (!number) return std::nullopt;
  if (text.starts_with('\'')) {
    inches = 12 * *number;
    text.remove_prefix(1);
    skip_blanks(text);
    if (text.starts_with('-')) text.remove_prefix(1);
    skip_blanks(text);
    if (text.empty()) return sign * inches;
    number = take_number(text);
    if (!number) return std::nullopt;
  }
  double part = 0;
  if (text.starts_with('-') || text.starts_with(' ')) {
    text.remove_prefix(1);
    if (text.starts_with('"')) return std::nullopt;
    const std::optional<double> over = take_number(text);
    if (!over || !text.starts_with('/')) return std::nullopt;
    part = *number;
    number = over;
  }
  if (text.starts_with('/')) {
    text.remove_prefix(1);
    const std::optional<double> under = take_number(text);
    if (!under || *under <= 0) return std::nullopt;
    number = *number / *under;
  }
  if (text != "\"") return std::nullopt;
  return sign * (inches + part + *number);
}

std::string usual_word(std::string_view key, const std::string& word) {
  if (key == "edge" && word == "tapered") return "recessed";
  if ((key == "paint" || key == "class") && word == "flat") return "matt";
  if (key == "units" && word == "mm") return "millimetre";
  return word;
}

int ValueReader::word_index(const TomlNode& node, const KeyRow& row) {
  if (node.type != TomlNode::Type::text) return -1;
  const std::vector<std::string> words = split_words(row.words);
  const auto found = std::find(words.begin(), words.end(), usual_word(row.key, node.text));
  return found == words.end() ? -1 : static_cast<int>(found - words.begin());
}

bool ValueReader::length(const TomlNode& node, const KeyRow& row, double& metres) const {
  double written = node.number;
  if (node.type == TomlNode::Type::text && units_ == Units::inch) {
    const std::optional<double> inches = inches_from_text(node.text);
    if (!inches) return false;
    written = *inches;
  } else if (!node.is_number()) {
    return false;
  }
  const double mm = units_ == Units::inch ? written * mm_per_inch : written;
  metres = mm / mm_per_m;
  return in_range(row, mm);
}

bool ValueReader::read_skyline(const TomlNode& node, const KeyRow& row, std::vector<dvec2>& out) const {
  constexpr std::size_t most = 72;
  if (node.type != TomlNode::Type::list || node.items.empty() || node.items.size() > most) return false;
  double last = 0;
  int alike = 0;  // points with the last bearing
  for (const TomlNode& pair : node.items) {
    if (pair.type != TomlNode::Type::list || pair.items.size() != 2 || !pair.items[0].is_number() || !pair.items[1].is_number()) return false;
    const double bearing = pair.items[0].number, altitude = pair.items[1].number;
    if (!(bearing >= last && bearing <= 360) || !in_range(row, altitude)) return false;
    alike = bearing == last && !out.empty() ? alike + 1 : 1;
    if (alike > 2) return false;
    last = bearing;
    out.emplace_back(bearing * rad_per_deg, altitude * rad_per_deg);
  }
  return true;
}

bool ValueReader::read(const TomlNode& node, const KeyRow& row, double& out) const {
  if (row.kind == KeyKind::skyline && node.type == TomlNode::Type::list) {
    std::vector<dvec2> points;
    if (!read_skyline(node, row, points)) return false;
    out = 0;
    for (const dvec2 p : points) out = std::max(out, p.y);
    return true;
  }
  if (row.kind == KeyKind::length) return length(node, row, out);
  if (row.kind == KeyKind::word_or_number && node.type == TomlNode::Type::text) {
    // words that stand for numbers: Linke turbidity (design figures), reflectance (usual light reflectance values,
    // docs/reference/trade.md section 6)
    const int index = word_index(node, row);
    if (index < 0) return false;
    if (row.key == "haze") out = std::array{2.5, 3.5, 5.0}.at(static_cast<std::size_t>(index));
    else if (row.key == "colour") out = std::array{0.85, 0.75, 0.40, 0.12}.at(static_cast<std::size_t>(index));
    else return false;
    return true;
  }
  if (!node.is_number() || !in_range(row, node.number)) return false;
  if (row.kind == KeyKind::whole && node.type != TomlNode::Type::whole) return false;
  out = row.kind == KeyKind::angle || row.kind == KeyKind::skyline ? node.number * rad_per_deg : node.number;
  return true;
}

bool ValueReader::read(const TomlNode& node, const KeyRow& row, std::string& out) const {
  if (row.kind == KeyKind::look && node.type == TomlNode::Type::list) {
    dvec3 ignored;
    return read(node, row, ignored);
  }
  if ((row.kind == KeyKind::paint || row.kind == KeyKind::word_or_table) && node.type == TomlNode::Type::table) return true;  // its keys are a table of their own
  if (node.type != TomlNode::Type::text || node.text.empty()) return false;
  out = usual_word(row.key, node.text);
  return (row.kind != KeyKind::word && row.kind != KeyKind::word_or_table) || word_index(node, row) >= 0;
}

bool ValueReader::read(const TomlNode& node, const KeyRow& row, dvec2& out) const {
  if (node.type != TomlNode::Type::list || node.items.size() != 2) return false;
  return length(node.items[0], row, out.x) && length(node.items[1], row, out.y) && (row.kind != KeyKind::size || out.x <= out.y) &&
         (row.kind != KeyKind::flatness || out.x <= 0.05 * out.y);
}

bool ValueReader::read(const TomlNode& node, const KeyRow& row, dvec3& out) const {
  if (node.type != TomlNode::Type::list || node.items.size() != 3) return false;
  for (int i = 0; i < 3; ++i) {
    const TomlNode& item = node.items[static_cast<std::size_t>(i)];
    if (row.kind != KeyKind::direction) {
      if (!length(item, row, out[i])) return false;
    } else {
      if (!item.is_number() || !in_range(row, item.number)) return false;
      out[i] = item.number;
    }
  }
  // too short a direction has no direction once it is squared
  return row.kind != KeyKind::direction || glm::length(out) > 1e-6;
}

bool ValueReader::read(const TomlNode& node, const KeyRow& row, std::vector<dvec2>& out) const {
  if (node.type != TomlNode::Type::list || node.items.size() < 3) return false;
  for (const TomlNode& item : node.items)
    if (!read(item, row, out.emplace_back())) return false;
  return true;
}

bool ValueReader::read(const TomlNode& node, const KeyRow& row, std::vector<double>& out) const {
  if (node.type != TomlNode::Type::list || node.items.empty()) return false;
  for (const TomlNode& item : node.items)
    if (!length(item, row, out.emplace_back())) return false;
  if (row.kind != KeyKind::lengths_in_order) std::sort(out.begin(), out.end());
  return true;
}

bool ValueReader::read(const TomlNode& node, const KeyRow& row, std::vector<std::string>& out) const {
  if (node.type == TomlNode::Type::text) {
    if (word_index(node, row) < 0) return false;
    if (row.kind == KeyKind::words) out = {node.text};
    return true;
  }
  if (node.type != TomlNode::Type::list || node.items.empty()) return false;
  for (const TomlNode& item : node.items) {
    if (row.kind == KeyKind::lamps && item.type == TomlNode::Type::table) {
      const TomlEntry* name = item.find("name");
      out.push_back(name ? name->value.text : "");  // the table is read key by key elsewhere
      continue;
    }
    if (item.type != TomlNode::Type::text || item.text.empty()) return false;
    if (row.kind == KeyKind::words && word_index(item, row) < 0) return false;
    out.push_back(item.text);
  }
  return true;
}

bool ValueReader::read(const TomlNode& node, const KeyRow& row, LocalTime& out) const {
  if (node.type != (row.kind == KeyKind::date ? TomlNode::Type::date : TomlNode::Type::time)) return false;
  out = node.time;
  return true;
}

bool ValueReader::read(const TomlNode& node, const KeyRow&, bool& out) const {
  out = node.boolean;
  return node.type == TomlNode::Type::boolean;
}

bool ValueReader::read(const TomlNode& node, const KeyRow& row, SeenSun& out) const {
  if (node.type != TomlNode::Type::table || node.entries.size() != 2) return false;
  const TomlEntry* wall = node.find("wall");
  const TomlEntry* at = node.find("at");
  if (!wall || !at || wall->value.type != TomlNode::Type::text || wall->value.text.empty()) return false;
  out.wall = wall->value.text;
  return read(at->value, row, out.time);
}


bool ValueReader::read(const TomlNode& node, const KeyRow& row, SkyName& out) const {
  if (!node.is_number()) return word(node, row, out);
  out = SkyName::iso_type;
  return node.type == TomlNode::Type::whole && in_range(row, node.number);
}

bool ValueReader::read(const TomlNode& node, const KeyRow& row, Glass& out) const {
  if (!node.is_number()) return word(node, row, out);
  out = Glass::transmittance;
  return in_range(row, node.number);
}

bool ValueReader::read(const TomlNode& node, const KeyRow&, RunSpec& out) const {
  if (node.type != TomlNode::Type::text || node.text.empty()) return false;
  out = node.text == "auto" ? RunSpec::automatic : node.text == "horizontal" ? RunSpec::horizontal
      : node.text == "upright" ? RunSpec::upright : RunSpec::towards_wall;
  return true;
}

const TomlNode& ValueReader::wrong_part(const TomlNode& node, const KeyRow& row) const {
  for (const TomlNode& item : node.items) {
    bool fits = true;
    dvec2 point{0};
    double metres = 0;
    if (row.kind == KeyKind::corners) fits = read(item, row, point);
    else if (row.kind == KeyKind::lengths || row.kind == KeyKind::lengths_in_order || row.kind == KeyKind::size || row.kind == KeyKind::flatness || row.kind == KeyKind::point || row.kind == KeyKind::look)
      fits = length(item, row, metres);
    else if (row.kind == KeyKind::direction) fits = item.is_number() && in_range(row, item.number);
    else if (row.kind == KeyKind::names || row.kind == KeyKind::lamps)
      fits = (item.type == TomlNode::Type::text && !item.text.empty()) || (row.kind == KeyKind::lamps && item.type == TomlNode::Type::table);
    else if (row.kind == KeyKind::words) fits = word_index(item, row) >= 0;
    if (!fits) return item;
  }
  return node;
}

}  // namespace rakelight
