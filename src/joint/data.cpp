#include "joint/data.h"

#include <algorithm>
#include <stdexcept>

#include "base/text.h"
#include "base/units.h"
#include "embedded_assets.h"

namespace rakelight {
namespace {

const TomlNode nothing;

std::string joined(const std::vector<std::string>& words) {
  std::string all;
  for (const std::string& w : words) all += (all.empty() ? "" : ", ") + w;
  return all;
}

bool plain_number(const TomlNode& n) { return n.is_number() && n.number >= 0; }

}  // namespace

Span DataTable::at(std::string_view key) const {
  const TomlEntry* e = node_->find(key);
  return e ? e->value.at : node_->at;
}

void DataTable::wrong(std::string_view key, const std::string& what, const std::string& right) const {
  diagnostics_->error(at(key), what, right);
}

const TomlNode* DataTable::value(std::string_view key, const char* right) const {
  asked_.emplace(key);
  const TomlEntry* e = node_->find(key);
  if (!e) diagnostics_->error(node_->at, std::string(key) + " is missing", std::string(key) + " = " + right);
  return e ? &e->value : nullptr;
}

std::string DataTable::text(std::string_view key) const {
  const TomlNode* v = value(key, "\"…\"");
  if (!v) return "";
  if (v->type != TomlNode::Type::text || v->text.empty()) wrong(key, std::string(key) + " must be text", "text in quotes, not empty");
  return v->text;
}

std::string DataTable::word(std::string_view key, const std::vector<std::string>& words) const {
  const std::string w = text(key);
  if (!w.empty() && std::find(words.begin(), words.end(), w) == words.end()) {
    const std::string near = nearest_word(w, words);
    wrong(key, std::string(key) + " cannot be \"" + w + "\"", near.empty() ? "one of " + joined(words) : "\"" + near + "\"");
  }
  return w;
}

double DataTable::number(std::string_view key) const {
  const TomlNode* v = value(key, "a number");
  if (!v) return 0;
  if (!plain_number(*v)) wrong(key, std::string(key) + " must be a number", "a number from 0 up");
  return std::max(v->number, 0.0);
}

double DataTable::metres(std::string_view key) const { return number(key) * m_per_mm; }

double DataTable::fraction(std::string_view key) const {
  const double v = number(key);
  if (v > 1) wrong(key, std::string(key) + " is above 1", "a number from 0 to 1");
  return std::min(v, 1.0);
}

int DataTable::count(std::string_view key) const {
  const double v = number(key);
  if (v > 20 || v != static_cast<int>(std::min(v, 20.0))) {
    wrong(key, std::string(key) + " must be a count", "a whole number from 0 to 20");
    return 0;
  }
  return static_cast<int>(v);
}

bool DataTable::flag(std::string_view key) const {
  const TomlNode* v = value(key, "true or false");
  if (v && v->type != TomlNode::Type::boolean) wrong(key, std::string(key) + " must be true or false", "true or false");
  return v && v->boolean;
}

std::vector<double> DataTable::list_of_numbers(std::string_view key) const {
  std::vector<double> out;
  const TomlNode* v = value(key, "[…]");
  if (!v) return out;
  bool fits = v->type == TomlNode::Type::list;
  for (const TomlNode& n : v->items) {
    fits = fits && plain_number(n);
    out.push_back(std::max(n.number, 0.0));
  }
  if (!fits) wrong(key, std::string(key) + " must be a list of numbers", "numbers from 0 up, as in [150, 250]");
  return out;
}

std::vector<double> DataTable::list_of_metres(std::string_view key) const {
  std::vector<double> out = list_of_numbers(key);
  for (double& v : out) v *= m_per_mm;
  return out;
}

std::vector<std::string> DataTable::list_of_texts(std::string_view key) const {
  std::vector<std::string> out;
  const TomlNode* v = value(key, "[…]");
  if (!v) return out;
  bool fits = v->type == TomlNode::Type::list;
  for (const TomlNode& n : v->items) {
    fits = fits && n.type == TomlNode::Type::text && !n.text.empty();
    out.push_back(n.text);
  }
  if (!fits) wrong(key, std::string(key) + " must be a list of texts", "[\"…\", \"…\"]");
  return out;
}

DataTable DataTable::sub(std::string_view key) const {
  const TomlNode* v = value(key, "a table");
  if (v && v->type != TomlNode::Type::table) wrong(key, std::string(key) + " must be a table", "[" + std::string(key) + "]");
  return {v && v->type == TomlNode::Type::table ? *v : nothing, *diagnostics_};
}

std::vector<DataTable> DataTable::subs(std::string_view key) const {
  std::vector<DataTable> out;
  if (!has(key)) return out;
  const TomlNode* v = value(key, "tables");
  bool fits = v->type == TomlNode::Type::list;
  for (const TomlNode& n : v->items) {
    fits = fits && n.type == TomlNode::Type::table;
    if (fits) out.emplace_back(n, *diagnostics_);
  }
  if (!fits) wrong(key, std::string(key) + " must be a list of tables", "[[" + std::string(key) + "]]");
  return out;
}

void DataTable::finish() const {
  for (const TomlEntry& e : node_->entries) {
    if (asked_.contains(e.key)) continue;
    const std::string near = nearest_word(e.key, {asked_.begin(), asked_.end()});
    diagnostics_->error(e.key_at, "\"" + e.key + "\" is not known here",
                        near.empty() ? "one of " + joined({asked_.begin(), asked_.end()}) : "\"" + near + "\"");
  }
}

void require_sound(const std::string& file, const Diagnostics& diagnostics) {
  if (!diagnostics.ok()) throw std::logic_error("embedded " + diagnostics.to_text(file, embedded_assets(file)));
}

TomlNode embedded_tree(const std::string& file) {
  const std::string_view text = embedded_assets(file);
  if (text.empty()) throw std::logic_error("embedded " + file + ": missing");
  Diagnostics diagnostics;
  auto tree = parse_tree(text, diagnostics);
  require_sound(file, diagnostics);
  return *std::move(tree);
}

}  // namespace rakelight
