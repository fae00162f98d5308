#include "window/renames.h"

#include <algorithm>

#include "window/edits.h"
#include "window/job_entries.h"

namespace rakelight {
namespace {

struct Named { const TomlNode* node; std::string to; };

/// The text values, each replaced at its place; from the back, so that the places before stay where they are.
JobText replaced(const JobText& text, std::vector<Named> found) {
  std::sort(found.begin(), found.end(), [](const Named& a, const Named& b) { return a.node->at.begin > b.node->at.begin; });
  JobText out = text;
  for (const Named& f : found) out = out.spliced(f.node->at, text_value(f.to));
  return out;
}

const TomlNode* of(const TomlNode& table, const char* key) {
  const TomlEntry* entry = table.type == TomlNode::Type::table ? table.find(key) : nullptr;
  return entry ? &entry->value : nullptr;
}

template <class F> void each_entry(const TomlNode& file, const char* table, F&& f) {
  if (const TomlEntry* list = file.find(table))
    for (const TomlNode& item : list->value.items) f(item);
}

}  // namespace

std::vector<std::string> wall_names(const TomlNode& file) {
  const TomlNode* corners = key_node(file, {"room", -1, ""}, "corners");
  const TomlNode* names = key_node(file, {"room", -1, ""}, "walls");
  std::vector<std::string> out;
  for (std::size_t i = 0; corners && i < corners->items.size(); ++i) {
    const bool written = names && i < names->items.size();
    std::string name = written ? names->items[i].text : "";
    // the letters that stand in for names: A to Z, AA, AB …
    for (std::size_t k = written ? 0 : i + 1; k > 0; k = (k - 1) / 26) name.insert(name.begin(), static_cast<char>('A' + (k - 1) % 26));
    out.push_back(name);
  }
  return out;
}

JobText with_wall_renamed(const JobText& text, const std::string& from, const std::string& to) {
  Diagnostics ignored;
  const auto file = parse_tree(text.text(), ignored);
  if (!file || from == to) return text;
  std::vector<Named> found;
  const auto look = [&](const TomlNode* node) {
    if (node && node->type == TomlNode::Type::text && node->text == from) found.push_back({node, to});
  };
  for (const char* table : {"window", "door"}) each_entry(*file, table, [&](const TomlNode& t) { look(of(t, "wall")); });
  each_entry(*file, "surface", [&](const TomlNode& t) {
    look(of(t, "name"));
    const TomlNode* run = of(t, "run");
    // a wall may be called as a way to lay sheets
    if (run && run->text != "auto" && run->text != "horizontal" && run->text != "upright") look(run);
  });
  each_entry(*file, "viewer", [&](const TomlNode& t) { look(of(t, "look")); });
  each_entry(*file, "joint", [&](const TomlNode& t) {
    const TomlNode* id = of(t, "id");
    if (id && id->text.starts_with(from + "/")) found.push_back({id, to + id->text.substr(from.size())});
  });
  if (const TomlNode* seen = key_node(*file, {"site", -1, ""}, "seen")) look(of(*seen, "wall"));
  return replaced(text, std::move(found));
}

JobText with_lamp_renamed(const JobText& text, const std::string& from, const std::string& to) {
  Diagnostics ignored;
  const auto file = parse_tree(text.text(), ignored);
  if (!file || from == to || from.empty() || to.empty()) return text;
  std::vector<Named> found;
  each_entry(*file, "moment", [&](const TomlNode& t) {
    const TomlNode* lamps = of(t, "lamps");
    if (!lamps) return;
    for (const TomlNode& item : lamps->items) {
      const TomlNode* name = item.type == TomlNode::Type::table ? of(item, "name") : &item;
      if (name && name->type == TomlNode::Type::text && name->text == from) found.push_back({name, to});
    }
  });
  return replaced(text, std::move(found));
}

JobText with_wall_named(const JobText& text, std::size_t wall, const std::string& to, Diagnostics& diagnostics) {
  const auto file = parse_tree(text.text(), diagnostics);
  if (!file) return text;
  std::vector<std::string> names = wall_names(*file);
  if (wall >= names.size() || names[wall] == to) return text;
  const std::string from = names[wall];
  names[wall] = to;
  std::string list;
  for (const std::string& name : names) list += (list.empty() ? "" : ", ") + text_value(name);
  return with_key(with_wall_renamed(text, from, to), {"room", -1, ""}, "walls", "[" + list + "]", diagnostics);
}

}  // namespace rakelight
