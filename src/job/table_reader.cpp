#include "job/table_reader.h"

#include "base/text.h"

namespace rakelight {
namespace {

/// The value's text on one line, cut to 40 bytes at a character's border.
std::string quoted(std::string_view text, Span at) {
  std::string shown(text.substr(at.begin, at.end - at.begin));
  for (char& c : shown)
    if (static_cast<unsigned char>(c) < 32) c = ' ';
  if (shown.size() > 40) {
    std::size_t cut = 40;
    while (cut > 0 && (static_cast<unsigned char>(shown[cut]) & 0xC0u) == 0x80u) --cut;
    shown = shown.substr(0, cut) + "…";
  }
  return shown;
}

std::string table_label(std::string_view table) {
  if (table == "moment.lamps") return "an item in lamps of [[moment]]";
  if (const auto dot = table.find('.'); dot != table.npos) return std::string(table.substr(dot + 1)) + " of " + table_label(table.substr(0, dot));
  const TableRow* row = find_table(table);
  return row && row->many ? "[[" + std::string(table) + "]]" : "[" + std::string(table) + "]";
}

/// Whether a value is the one that means "none".
bool means_none(const TomlNode& node, const KeyRow& row) {
  if (row.standard.empty()) return false;
  const TomlNode none = *parse_value(row.standard);
  if (node.is_number() && none.is_number()) return node.number == none.number;
  return node.type == none.type && node.text == none.text && node.boolean == none.boolean;
}

}  // namespace

std::string key_label(std::string_view table, std::string_view key) {
  return std::string(key) + (table.empty() ? "" : " of " + table_label(table));
}

std::string suggestion(std::string_view word, const std::vector<std::string>& known) {
  const std::string nearest = nearest_word(word, known);
  if (!nearest.empty()) return "\"" + nearest + "\"";
  std::string all;
  for (const std::string& name : known) all += (all.empty() ? "" : ", ") + name;
  return all.empty() ? "nothing: there is none to choose from" : "one of " + all;
}

void unknown_key(std::string_view table, std::string_view key, Span at, Diagnostics& diagnostics) {
  std::vector<std::string> known;
  for (const KeyRow& row : key_rows())
    if (row.table == table) known.emplace_back(row.key);
  if (table.empty())
    for (const TableRow& row : table_rows()) known.emplace_back(row.name);
  const std::string place = table.empty() ? "a key or table of a job file" : "a key of " + table_label(table);
  diagnostics.error(at, "\"" + std::string(key) + "\" is not " + place, suggestion(key, known) + " (or it is from a newer version)");
}

const TomlNode* TableReader::written(std::string_view key) const {
  const TomlEntry* entry = node_ ? node_->find(key) : nullptr;
  return entry ? &entry->value : nullptr;
}

void TableReader::wrong_value(const TomlEntry& entry, const KeyRow& row) {
  const std::vector<std::string> later = split_words(row.later);
  const TomlNode& value = entry.value;
  const std::string form = value.type == TomlNode::Type::list ? "[]" : value.type == TomlNode::Type::table ? "{}" : value.text;
  const bool quoted_form = value.type == TomlNode::Type::text && (form == "[]" || form == "{}");
  if (!form.empty() && !quoted_form && std::find(later.begin(), later.end(), form) != later.end()) {
    const std::string written = form == "[]" ? "as a list" : form == "{}" ? "as a table" : "\"" + form + "\"";
    diagnostics_.error(value.at, key_label(name_, row.key) + " " + written + " is not yet supported", describe(row, values_.units()));
    return;
  }
  std::string right = describe(row, values_.units());
  if (entry.value.type == TomlNode::Type::text && !row.words.empty())
    if (const std::string near = nearest_word(entry.value.text, split_words(row.words)); !near.empty())
      right = "\"" + near + "\" (" + right + ")";
  const TomlNode& part = values_.wrong_part(entry.value, row);
  diagnostics_.error(part.at, key_label(name_, row.key) + (&part == &entry.value ? " cannot be " : " cannot hold ") + quoted(text_, part.at), right);
}

void TableReader::finish() {
  if (!node_) return;
  for (const TomlEntry& e : node_->entries) {
    if (std::find(taken_.begin(), taken_.end(), e.key) != taken_.end()) continue;
    const KeyRow* row = find_key(name_, e.key);
    if (!row) {
      unknown_key(name_, e.key, e.key_at, diagnostics_);
    } else if (row->status == KeyRow::Status::later) {
      if (means_none(e.value, *row)) continue;
      diagnostics_.error(e.key_at, key_label(name_, e.key) + " is not yet supported",
                         row->standard.empty() ? "leave it out" : e.key + " = " + std::string(row->standard) + ", or leave it out");
    } else {
      // the only values left are words with no effect of their own
      std::string word;
      if (!values_.read(e.value, *row, word)) wrong_value(e, *row);
    }
  }
}

}  // namespace rakelight
