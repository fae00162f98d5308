// Edits of the job's text at exact places: everything else stays byte for byte.
#include <algorithm>
#include <cassert>
#include <charconv>
#include <fmt/format.h>

#include "job/read.h"
#include "job/table_reader.h"
#include "job/tree.h"
#include "job/value_splice.h"

namespace rakelight {
namespace {

/// One step of a path: a key, then any number of indices.
struct Step {
  std::string key;
  std::vector<std::size_t> indices;
};

bool bare(char c) {
  return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '_' || c == '-';
}

/// "surface[1].level" to steps; empty when it is no path.
std::vector<Step> split_path(std::string_view path) {
  std::vector<Step> steps;
  std::size_t i = 0;
  while (i < path.size()) {
    Step step;
    while (i < path.size() && bare(path[i])) step.key += path[i++];
    if (step.key.empty()) return {};
    while (i < path.size() && path[i] == '[') {
      std::size_t index = 0;
      const auto [end, error] = std::from_chars(path.data() + i + 1, path.data() + path.size(), index);
      i = static_cast<std::size_t>(end - path.data());
      if (error != std::errc() || i >= path.size() || path[i] != ']') return {};
      step.indices.push_back(index);
      ++i;
    }
    steps.push_back(std::move(step));
    if (i == path.size()) return steps;
    if (path[i++] != '.' || i == path.size()) return {};
  }
  return {};
}

/// Whether the key table knows the path; if not, says so.
bool known_path(const std::vector<Step>& steps, Diagnostics& diagnostics) {
  const std::size_t before = diagnostics.all().size();
  if (steps.size() == 1) {
    if (!find_key("", steps[0].key)) unknown_key("", steps[0].key, {}, diagnostics);
  } else if (!find_table(steps[0].key)) {
    unknown_key("", steps[0].key, {}, diagnostics);
  } else {
    std::string table = steps[0].key;
    for (std::size_t i = 1; i < steps.size() && diagnostics.all().size() == before; ++i) {
      if (!find_key(table, steps[i].key)) unknown_key(table, steps[i].key, {}, diagnostics);
      table += "." + steps[i].key;
    }
  }
  return diagnostics.all().size() == before;
}

const TomlNode* step_into(const TomlNode* node, const Step& step, bool with_indices = true) {
  const TomlEntry* entry = node->type == TomlNode::Type::table ? node->find(step.key) : nullptr;
  if (!entry) return nullptr;
  node = &entry->value;
  if (with_indices)
    for (std::size_t index : step.indices) {
      if (node->type != TomlNode::Type::list || index >= node->items.size()) return nullptr;
      node = &node->items[index];
    }
  return node;
}

/// The last key that is written in the lines of a table itself; null when there is none.
const TomlEntry* last_entry(const TomlNode& table) {
  const TomlEntry* last = nullptr;
  for (const TomlEntry& e : table.entries) {
    const TomlEntry* written = e.value.form == TomlNode::Form::value ? &e : e.value.form == TomlNode::Form::dotted ? last_entry(e.value) : nullptr;
    if (written && (!last || written->value.at.end > last->value.at.end)) last = written;
  }
  return last;
}

/// Where a new line of the table begins, and what must stand around it there.
struct Gap {
  std::size_t at = 0;
  std::string before, after;
};

Gap gap_after_line(const std::string& text, std::size_t in_line) {
  const std::string newline = newline_of(text);
  const std::size_t end = text.find('\n', in_line);
  if (end == std::string::npos) return {text.size(), newline, ""};
  return {end + 1, "", newline};
}

/// Blanks at the start of the line that holds `at`, so that the new line stands under its neighbour.
std::string indent_of(const std::string& text, std::size_t at) {
  const std::size_t from = line_begin(text, at);
  std::size_t end = from;
  while (end < at && (text[end] == ' ' || text[end] == '\t')) ++end;
  return text.substr(from, end - from);
}

/// The gap at the top of the file: after its own keys, or else before everything.
Gap gap_at_top(const std::string& text, const TomlNode& file) {
  if (const TomlEntry* entry = last_entry(file)) return gap_after_line(text, entry->value.at.end);
  return {line_begin(text, 0), "", newline_of(text)};
}

}  // namespace

JobText JobText::spliced(Span at, std::string_view with) const {
  assert(at.begin <= at.end && at.end <= text_.size());
  std::string out = text_.substr(0, at.begin);
  out += with;
  out += text_.substr(at.end);
  return JobText(std::move(out));
}

JobText JobText::with(std::string_view path, std::string_view value, Diagnostics& diagnostics) const {
  const std::optional<TomlNode> file = parse_tree(text_, diagnostics);
  if (!file) return *this;
  const std::vector<Step> steps = split_path(path);
  const std::string name(path);
  if (steps.empty()) {
    diagnostics.error({}, "\"" + name + "\" is not a path to a key", "a path such as site.north or surface[1].level");
    return *this;
  }
  if (!known_path(steps, diagnostics)) return *this;
  if (!parse_value(value)) {
    diagnostics.error({}, "\"" + std::string(value) + "\" is not a value", "a TOML value, such as 12, \"text\" or [1200, 3000]");
    return *this;
  }
  const TomlNode* table = &*file;
  for (std::size_t i = 0; i + 1 < steps.size(); ++i) {
    table = step_into(table, steps[i]);
    if (!table || table->type != TomlNode::Type::table) {
      diagnostics.error({}, "there is no table for \"" + name + "\"", "a path to a table that the file has, array tables counted from 0");
      return *this;
    }
  }
  const Step& last = steps.back();
  std::optional<JobText> out;
  if (const TomlNode* written = step_into(table, last)) {
    if (written->form == TomlNode::Form::value) out = JobText(with_value(text_, *written, value));
  } else if (last.indices.empty() && table->form != TomlNode::Form::dotted) {
    const std::string line = last.key + " = " + std::string(value);
    const TomlEntry* neighbour = last_entry(*table);
    if (table->form == TomlNode::Form::value) {
      const std::size_t end = neighbour ? neighbour->value.at.end : table->at.begin + 1;
      out = spliced({end, end}, neighbour ? ", " + line : " " + line + " ");
    } else {
      const Gap gap = table->form == TomlNode::Form::file ? gap_at_top(text_, *file)
                                                      : gap_after_line(text_, neighbour ? neighbour->value.at.end : table->at.end);
      out = spliced({gap.at, gap.at}, gap.before + (neighbour ? indent_of(text_, neighbour->key_at.begin) : "") + line + gap.after);
    }
  }
  // the proof of an edit is that the new text says what was asked for
  if (out) {
    Diagnostics ignored;
    const std::optional<TomlNode> after = parse_tree(out->text_, ignored);
    const TomlNode* node = after ? &*after : nullptr;
    for (const Step& step : steps) node = node ? step_into(node, step) : nullptr;
    if (node && canonical(*node, out->text_) == canonical(*parse_value(value), value))
      return *out;
  }
  diagnostics.error({}, "\"" + name + "\" cannot be set in place", "edit the text by hand: " + last.key + " = " + std::string(value));
  return *this;
}

JobText JobText::without(std::string_view path, Diagnostics& diagnostics) const {
  const std::optional<TomlNode> file = parse_tree(text_, diagnostics);
  if (!file) return *this;
  const std::vector<Step> steps = split_path(path);
  const TomlNode* table = steps.empty() ? nullptr : &*file;
  for (std::size_t i = 0; table && i + 1 < steps.size(); ++i) table = step_into(table, steps[i]);
  const TomlEntry* entry = table && table->type == TomlNode::Type::table && steps.back().indices.empty() ? table->find(steps.back().key) : nullptr;
  if (!entry) return *this;
  std::optional<JobText> out;
  const std::size_t line = line_begin(text_, entry->key_at.begin);
  const std::string newline = newline_of(text_);
  if (table->form == TomlNode::Form::value) {
    const Span at = with_comma(text_, {entry->key_at.begin, entry->value.at.end});
    out = spliced(at, "").spliced({line, line}, comment_lines(comments_in(text_, at), indent_of(text_, entry->key_at.begin), newline));
  } else if (entry->value.form == TomlNode::Form::value) {
    const std::size_t line_end = text_.find('\n', entry->value.at.end), to = line_end == std::string::npos ? text_.size() : line_end + 1;
    const std::size_t comment = text_.find('#', entry->value.at.end);
    const std::string indent = indent_of(text_, entry->key_at.begin), within = comment_lines(comments_in(text_, entry->value.at), indent, newline);
    out = comment < to ? spliced({line, comment}, within + indent) : spliced({line, to}, within);
  }
  Diagnostics ignored;
  const std::optional<TomlNode> after = out ? parse_tree(out->text_, ignored) : std::nullopt;
  const TomlNode* now = after ? &*after : nullptr;
  for (std::size_t i = 0; now && i + 1 < steps.size(); ++i) now = step_into(now, steps[i]);
  if (after && !(now && now->type == TomlNode::Type::table && now->find(steps.back().key))) return *out;
  diagnostics.error({}, fmt::format("\"{}\" cannot be taken out in place", path), "take it out of the text by hand");
  return *this;
}

}  // namespace rakelight
