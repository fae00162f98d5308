#include "window/job_entries.h"

#include <algorithm>
#include <fmt/format.h>

#include "job/value_splice.h"
#include "window/edits.h"

namespace rakelight {
namespace {

/// Behind the line's end.
std::size_t line_end(const std::string& text, std::size_t at) {
  const std::size_t end = text.find('\n', at);
  return end == std::string::npos ? text.size() : end + 1;
}
bool blank(const std::string& text, std::size_t from, std::size_t to) {
  return std::all_of(text.begin() + static_cast<std::ptrdiff_t>(from), text.begin() + static_cast<std::ptrdiff_t>(to), [](char c) { return c == ' ' || c == '\t' || c == '\r' || c == '\n'; });
}

/// Where the last thing that a table says ends.
std::size_t end_of(const TomlNode& node) {
  std::size_t end = node.at.end;
  for (const TomlEntry& e : node.entries) end = std::max(end, end_of(e.value));
  for (const TomlNode& item : node.items) end = std::max(end, end_of(item));
  return end;
}

/// The text, unless an entry's going touched anything but the entry.
JobText proven(const JobText& before, JobText after, const TomlNode& file, const std::string& table, int index, Diagnostics& diagnostics) {
  Diagnostics ignored;
  const std::optional<TomlNode> now = parse_tree(after.text(), ignored);
  TomlNode rest = file;
  for (auto e = rest.entries.begin(); e != rest.entries.end(); ++e) {
    if (e->key != table) continue;
    e->value.items.erase(e->value.items.begin() + index);
    if (e->value.items.empty() && !(now && now->find(table))) rest.entries.erase(e);
    break;
  }
  if (now && canonical(*now, after.text()) == canonical(rest, before.text())) return after;
  diagnostics.error({}, fmt::format("[[{}]] number {} cannot be taken out in place", table, index + 1), "take it out of the text by hand");
  return before;
}

}  // namespace

std::string TablePlace::path() const {
  if (table.empty()) return "";
  return (index < 0 ? table : fmt::format("{}[{}]", table, index)) + "." + (inner.empty() ? "" : inner + ".");
}

const TomlNode* table_node(const TomlNode& file, const TablePlace& place) {
  const TomlNode* node = &file;
  if (!place.table.empty()) {
    const TomlEntry* entry = file.find(place.table);
    if (!entry) return nullptr;
    node = &entry->value;
    if (place.index >= 0) {
      if (node->type != TomlNode::Type::list || static_cast<std::size_t>(place.index) >= node->items.size()) return nullptr;
      node = &node->items[static_cast<std::size_t>(place.index)];
    }
  }
  if (!place.inner.empty()) {
    const TomlEntry* entry = node->type == TomlNode::Type::table ? node->find(place.inner) : nullptr;
    if (!entry) return nullptr;
    node = &entry->value;
  }
  return node->type == TomlNode::Type::table ? node : nullptr;
}

const TomlNode* key_node(const TomlNode& file, const TablePlace& place, std::string_view key) {
  const TomlNode* table = table_node(file, place);
  const TomlEntry* entry = table ? table->find(key) : nullptr;
  return entry ? &entry->value : nullptr;
}

int entry_count(const TomlNode& file, const std::string& table) {
  const TomlEntry* entry = file.find(table);
  return entry && entry->value.type == TomlNode::Type::list ? static_cast<int>(entry->value.items.size()) : 0;
}

std::string entry_name(const TomlNode& file, const std::string& table, int index) {
  for (const char* key : {"name", "id", "wall"})
    if (const TomlNode* node = key_node(file, {table, index, ""}, key); node && !node->text.empty()) return node->text;
  static constexpr std::pair<const char*, char> letters[] = {{"window", 'W'}, {"lamp", 'L'}, {"moment", 'T'}, {"viewer", 'V'}};
  for (const auto& [of, letter] : letters)
    if (table == of) return fmt::format("{}{}", letter, index + 1);
  return std::to_string(index + 1);
}

JobText with_key(const JobText& text, const TablePlace& place, const std::string& key, const std::string& value, Diagnostics& diagnostics) {
  const std::optional<TomlNode> file = parse_tree(text.text(), diagnostics);
  if (!file) return text;
  if (!place.inner.empty() && !table_node(*file, place)) {
    // a word becomes a table that says the same and more
    const TablePlace outer{place.table, place.index, ""};
    const TomlNode* word = key_node(*file, outer, place.inner);
    const char* as = place.inner == "paint" ? "class" : "like";
    const KeyRow* row = find_key(place.table, place.inner);
    const std::string now = word && !word->text.empty() ? text_value(word->text) : row && !row->standard.empty() ? std::string(row->standard) : "";
    const std::string table = now.empty() || key == as ? fmt::format("{{ {} = {} }}", key, value) : fmt::format("{{ {} = {}, {} = {} }}", as, now, key, value);
    return with_key(text, outer, place.inner, table, diagnostics);
  }
  if (place.index < 0 && !place.table.empty() && !file->find(place.table)) {
    const std::string& all = text.text();
    const std::string line = newline_of(all);
    const std::string before = all.empty() ? "" : all.ends_with('\n') ? line : line + line;
    return text.spliced({all.size(), all.size()}, fmt::format("{}[{}]{}{} = {}{}", before, place.table, line, key, value, line));
  }
  return text.with(place.path() + key, value, diagnostics);
}

JobText without_key(const JobText& text, const TablePlace& place, const std::string& key, Diagnostics& diagnostics) { return text.without(place.path() + key, diagnostics); }

JobText with_entry(const JobText& text, const std::string& table, const std::vector<std::pair<std::string, std::string>>& keys, Diagnostics& diagnostics) {
  const std::optional<TomlNode> file = parse_tree(text.text(), diagnostics);
  if (!file) return text;
  const std::string& all = text.text();
  const std::string line = newline_of(all);
  const TomlEntry* list = file->find(table);
  if (list && list->value.type == TomlNode::Type::list && list->value.form == TomlNode::Form::value) {
    std::string item = list->value.items.empty() ? "{ " : ", { ";
    for (const auto& [key, value] : keys) item += fmt::format("{}{} = {}", &key == &keys.front().first ? "" : ", ", key, value);
    const std::size_t at = list->value.items.empty() ? list->value.at.end - 1 : list->value.items.back().at.end;
    return text.spliced({at, at}, item + " }");
  }
  std::size_t at = all.size();
  if (list && list->value.type == TomlNode::Type::list && !list->value.items.empty()) at = line_end(all, end_of(list->value));
  std::string entry = at > 0 && all[at - 1] != '\n' ? line : "";
  entry += (at == 0 ? "" : line) + fmt::format("[[{}]]{}", table, line);
  for (const auto& [key, value] : keys) entry += fmt::format("{} = {}{}", key, value, line);
  return text.spliced({at, at}, entry);
}

JobText without_entry(const JobText& text, const std::string& table, int index, Diagnostics& diagnostics) {
  const std::optional<TomlNode> file = parse_tree(text.text(), diagnostics);
  if (!file) return text;
  const TomlNode* node = table_node(*file, {table, index, ""});
  if (!node) return text;
  const std::string& all = text.text();
  JobText after = text;
  if (node->form == TomlNode::Form::value) {
    after = text.spliced(with_comma(all, node->at), "");
  } else {
    std::size_t from = line_begin(all, node->at.begin), to = line_end(all, end_of(*node));
    // of the blank lines on both sides one is enough
    if (from == line_begin(all, 0) || blank(all, line_begin(all, from - 1), from)) {
      const std::size_t next = to < all.size() ? line_end(all, to) : to;
      if (next > to && blank(all, to, next)) to = next;
      else if (to == all.size() && from > line_begin(all, 0)) from = line_begin(all, from - 1);
    }
    after = text.spliced({from, to}, "");
  }
  return proven(text, after, *file, table, index, diagnostics);
}

}  // namespace rakelight
