#include "job/tree.h"

#include <algorithm>
#include <toml++/toml.h>

namespace rakelight {
namespace {

/// Line and column of the parser (columns count code points, a byte-order mark counts nothing) to bytes.
class Places {
 public:
  explicit Places(std::string_view text) {
    std::size_t i = text.starts_with("\xEF\xBB\xBF") ? 3 : 0;
    lines_.push_back(0);
    for (; i < text.size(); ++i) {
      if ((static_cast<unsigned char>(text[i]) & 0xC0u) == 0x80u) continue;
      characters_.push_back(i);
      if (text[i] == '\n') lines_.push_back(characters_.size());
    }
    characters_.push_back(text.size());
  }
  std::size_t offset(toml::source_position p) const {
    if (p.line == 0 || p.line > lines_.size()) return characters_.back();
    const std::size_t line_end = p.line < lines_.size() ? lines_[p.line] - 1 : characters_.size() - 1;
    return characters_[std::min(lines_[p.line - 1] + std::max(p.column, 1u) - 1, line_end)];
  }
  Span span(const toml::source_region& r) const { return {offset(r.begin), std::max(offset(r.begin), offset(r.end))}; }

 private:
  std::vector<std::size_t> characters_;  // byte offset of each character, and of the end
  std::vector<std::size_t> lines_;       // index of each line's first character
};

/// Where names joined by dots go deeper than `most`: the parser recurses over them without a limit of its own.
std::size_t too_deep(std::string_view text, int most) {
  int dots = 0;
  for (std::size_t i = 0; i < text.size(); ++i) {
    const char c = text[i];
    if (c == '"' || c == '\'') {
      while (++i < text.size() && text[i] != c && text[i] != '\n')
        if (c == '"' && text[i] == '\\') ++i;
    } else if (c == '#') {
      while (i + 1 < text.size() && text[i + 1] != '\n') ++i;
    } else if (c == '.') {
      if (++dots > most) return i;
    } else if (std::string_view(",=\n[]{}").find(c) != std::string_view::npos) {
      dots = 0;
    }
  }
  return std::string_view::npos;
}

/// The node and all in it, so many bytes further to the front.
void moved_back(TomlNode& node, std::size_t by) {
  node.at = {node.at.begin - by, node.at.end - by};
  for (TomlNode& item : node.items) moved_back(item, by);
  for (TomlEntry& e : node.entries) {
    e.key_at = {e.key_at.begin - by, e.key_at.end - by};
    moved_back(e.value, by);
  }
}

/// What would be right, from what the parser says is wrong.
std::string cure(std::string_view wrong) {
  auto about = [&](std::string_view part) { return wrong.find(part) != std::string_view::npos; };
  if (about("redefine")) return "each key once in its table, and each [table] once";
  if (about("parsing time")) return "a time with seconds, such as 2026-06-21T20:40:00";
  if (about("parsing string")) return "text with a quote at both ends, on one line";
  return "lines such as key = 12, key = \"text\" or [table] (the file is TOML 1.0)";
}

LocalTime local_time(const toml::date_time& t) {
  LocalTime out;
  out.year = t.date.year;
  out.month = t.date.month;
  out.day = t.date.day;
  out.hour = t.time.hour;
  out.minute = t.time.minute;
  out.second = t.time.second + 1e-9 * t.time.nanosecond;
  if (t.offset) out.offset_minutes = t.offset->minutes;
  return out;
}

TomlNode convert(const toml::node& from, const Places& places, std::string_view text) {
  TomlNode out;
  out.at = places.span(from.source());
  if (const auto* table = from.as_table()) {
    out.type = TomlNode::Type::table;
    const char first = out.at.begin < text.size() ? text[out.at.begin] : '\0';
    out.form = table->is_inline() ? TomlNode::Form::value : first == '[' ? TomlNode::Form::headed : TomlNode::Form::dotted;
    for (const auto& [key, value] : *table)
      out.entries.push_back({std::string(key.str()), places.span(key.source()), convert(value, places, text)});
    std::stable_sort(out.entries.begin(), out.entries.end(),
                     [](const TomlEntry& a, const TomlEntry& b) { return a.key_at.begin < b.key_at.begin; });
  } else if (const auto* list = from.as_array()) {
    out.type = TomlNode::Type::list;
    for (const toml::node& item : *list) out.items.push_back(convert(item, places, text));
    const bool headed = !out.items.empty() && out.items[0].type == TomlNode::Type::table && out.items[0].form == TomlNode::Form::headed;
    if (headed) {
      out.form = TomlNode::Form::headed;
      out.at = out.items[0].at;
    }
  } else if (const auto* boolean = from.as_boolean()) {
    out.type = TomlNode::Type::boolean;
    out.boolean = boolean->get();
  } else if (const auto* whole = from.as_integer()) {
    out.type = TomlNode::Type::whole;
    out.number = static_cast<double>(whole->get());
  } else if (const auto* real = from.as_floating_point()) {
    out.type = TomlNode::Type::real;
    out.number = real->get();
  } else if (const auto* string = from.as_string()) {
    out.type = TomlNode::Type::text;
    out.text = string->get();
  } else if (const auto* time = from.as_date_time()) {
    out.type = TomlNode::Type::time;
    out.time = local_time(time->get());
  } else if (const auto* date = from.as_date()) {
    out.type = TomlNode::Type::date;
    out.time.year = date->get().year;
    out.time.month = date->get().month;
    out.time.day = date->get().day;
  } else {
    out.type = TomlNode::Type::part_of_time;
  }
  return out;
}

}  // namespace

const TomlEntry* TomlNode::find(std::string_view key) const {
  for (const TomlEntry& e : entries)
    if (e.key == key) return &e;
  return nullptr;
}

std::optional<TomlNode> parse_tree(std::string_view text, Diagnostics& diagnostics) {
  constexpr int most = 100;
  if (const std::size_t at = too_deep(text, most); at != std::string_view::npos) {
    diagnostics.error({at, at + 1}, "names joined by dots go too deep", "at most 100 names joined by dots");
    return std::nullopt;
  }
  const Places places(text);
  try {
    const toml::table parsed = toml::parse(text);
    TomlNode file = convert(parsed, places, text);
    file.form = TomlNode::Form::file;
    file.at = {0, 0};
    return file;
  } catch (const toml::parse_error& e) {
    const std::size_t at = places.offset(e.source().begin);
    diagnostics.error({at, std::min(at + 1, text.size())}, std::string(e.description()), cure(e.description()));
    return std::nullopt;
  }
}

std::optional<TomlNode> parse_value(std::string_view value) {
  const std::string before = "x = ";
  const std::string text = before + std::string(value);
  Diagnostics ignored;
  std::optional<TomlNode> file = parse_tree(text, ignored);
  if (!file || file->entries.size() != 1) return std::nullopt;
  TomlNode node = std::move(file->entries[0].value);
  if (file->entries[0].key != "x" || node.form != TomlNode::Form::value) return std::nullopt;
  if (text.find_first_not_of(" \t", node.at.end) != std::string::npos) return std::nullopt;
  moved_back(node, before.size());
  return node;
}

}  // namespace rakelight
