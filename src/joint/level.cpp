#include "joint/level.h"

#include <algorithm>
#include <stdexcept>

#include "embedded_assets.h"
#include "joint/data.h"

namespace rakelight {
namespace {

constexpr double thickest_film = 0.005;

Ground ground_of(const DataTable& t) {
  return {t.text("source"), t.word("confidence", {"V", "V2", "M+", "M", "M-", "D"})};
}

FramingLimit framing_of(const DataTable& t) {
  FramingLimit f;
  f.gap = t.metres("gap");
  f.between_members = t.flag("between_members", false);
  if (!f.between_members) f.base = t.metres("base");
  if (t.has("share")) {
    f.share = t.fraction("share");
    f.rest = t.metres("rest");
  } else {
    f.rest = f.gap;
  }
  f.ground = ground_of(t);
  t.finish();
  return f;
}

BackingRule backing_of(const DataTable& t) {
  BackingRule b{t.word("joints", {"recessed", "butts"}), t.count("from"), t.text("text"), ground_of(t)};
  t.finish();
  return b;
}

PublishedUse use_of(const DataTable& t) {
  PublishedUse u{t.number("gloss60"), t.flag("critical"), t.text("text"), ground_of(t)};
  t.finish();
  return u;
}

void read_film(Level& l, const DataTable& t) {
  l.film = t.word("kind", {"scraped", "drawn", "sprayed", "coat"});
  l.skim = t.metres("thickness");
  l.film_reach = t.metres("reach", l.film_reach);
  if (l.skim > thickest_film) t.wrong("thickness", "thickness of the film is above 5 mm", "a number from 0 to 5");
  if (l.film_reach < 0.02 || l.film_reach > 2) t.wrong("reach", "the film's reach is out of range", "a number from 20 to 2000");
  t.text("source");
  t.finish();
}

void read_widths(Level& l, const DataTable& t) {
  const std::size_t count = l.tape ? static_cast<std::size_t>(1 + l.coats + (l.wiped_coat ? 1 : 0)) : 0;
  for (const auto& [key, widths] : {std::pair{"recessed_widths", &l.recessed_widths}, std::pair{"butt_widths", &l.butt_widths}}) {
    *widths = t.list_of_metres(key);
    const std::string name = key;
    if (widths->size() != count)
      t.wrong(key, name + " of level " + l.id + " has " + std::to_string(widths->size()) + " widths",
              std::to_string(count) + ": one for the tape's bed and one for each coat over it");
    for (const double w : *widths)
      if (w < 0.05 || w > 3) t.wrong(key, name + " of level " + l.id + " is out of range", "widths from 50 to 3000");
    if (!std::is_sorted(widths->begin(), widths->end())) t.wrong(key, name + " must not fall", "each coat as wide as the one before or wider");
  }
}

Level level_of(const DataTable& t) {
  Level l;
  l.id = t.text("id");
  l.title = t.text("title");
  l.tape = t.flag("tape");
  l.coats = t.count("coats");
  l.wiped_coat = t.flag("wiped_coat", false);
  if (!l.tape && (l.coats > 0 || l.wiped_coat)) t.wrong("coats", "level " + l.id + " has coats and no tape", "tape = true");
  read_widths(l, t);
  if (t.has("film")) read_film(l, t.sub("film"));
  l.sealer = t.word("sealer", {"none", "primer", "whole face"});
  if (t.has("framing")) l.framing = framing_of(t.sub("framing"));
  if (t.has("backing")) l.backing = backing_of(t.sub("backing"));
  for (const DataTable& use : t.subs("uses")) l.uses.push_back(use_of(use));
  if (t.has("tolerances")) l.tolerances = t.list_of_texts("tolerances");
  l.use = t.text("use");
  l.source = t.text("source");
  t.finish();
  return l;
}

/// The level's table with the entries that a reading changes in place of its own.
TomlNode changed(TomlNode level, const TomlNode& changes) {
  for (const TomlEntry& change : changes.entries) {
    auto own = std::find_if(level.entries.begin(), level.entries.end(), [&](const TomlEntry& e) { return e.key == change.key; });
    if (own == level.entries.end()) level.entries.push_back(change);
    else *own = change;
  }
  return level;
}

struct Change { Reading reading; const TomlNode* changes = nullptr; };

Change change_of(const DataTable& t, const TomlNode& node, const std::vector<std::string>& chosen) {
  Change c;
  Reading& r = c.reading;
  r.id = t.text("id");
  r.about = t.text("about");
  r.levels = t.list_of_texts("levels");
  r.taken = t.text("taken");
  r.says = t.text("says");
  r.ground = ground_of(t);
  r.chosen = std::find(chosen.begin(), chosen.end(), r.id) != chosen.end();
  t.sub("changes");
  t.finish();
  if (const TomlEntry* e = node.find("changes")) c.changes = &e->value;
  return c;
}

/// Complains of two entries with one id.
template <class T> void check_ids(const std::vector<T>& list, const DataTable& root, const char* what, Diagnostics& diagnostics) {
  for (std::size_t i = 0; i < list.size(); ++i)
    for (std::size_t j = 0; j < i; ++j)
      if (list[i].id == list[j].id)
        diagnostics.error(root.at(what), std::string("two entries of ") + what + " are called \"" + list[i].id + "\"", "different ids");
}

const std::vector<std::string> other_files{"workmanship", "tolerances", "season"};

}  // namespace

const Level* Scheme::find(const std::string& level) const {
  for (const Level& l : levels)
    if (l.id == level) return &l;
  return nullptr;
}

const Level* Scheme::published_for(double gloss60, bool critical) const {
  for (const Level& l : levels)
    for (const PublishedUse& u : l.uses)
      if (u.gloss60 >= gloss60 && (u.critical || !critical)) return &l;
  return nullptr;
}

std::optional<Scheme> read_scheme(std::string_view text, const std::vector<std::string>& chosen, Diagnostics& diagnostics) {
  Diagnostics own;
  const std::optional<TomlNode> tree = parse_tree(text, diagnostics);
  if (!tree) return std::nullopt;
  const DataTable root(*tree, own);
  Scheme s;
  s.id = root.text("id");
  s.title = root.text("title");
  s.source = root.text("source");
  s.standard = root.text("standard");

  std::vector<Change> changes;
  const std::vector<DataTable> readings = root.subs("reading"), levels = root.subs("level");
  for (std::size_t i = 0; i < readings.size(); ++i) {
    changes.push_back(change_of(readings[i], tree->find("reading")->value.items[i], chosen));
    s.readings.push_back(changes.back().reading);
  }
  if (levels.empty()) root.wrong("level", "the scheme has no level", "[[level]] tables, the least work first");
  for (std::size_t i = 0; i < levels.size(); ++i) {
    TomlNode node = tree->find("level")->value.items[i];
    const std::string id = levels[i].text("id");
    for (const Change& c : changes)
      if (c.reading.chosen && c.changes && std::find(c.reading.levels.begin(), c.reading.levels.end(), id) != c.reading.levels.end())
        node = changed(std::move(node), *c.changes);
    s.levels.push_back(level_of(DataTable(node, own)));
  }
  root.finish();
  check_ids(s.levels, root, "level", own);
  check_ids(s.readings, root, "reading", own);
  if (!levels.empty() && !s.standard.empty() && !s.find(s.standard))
    root.wrong("standard", "the scheme has no level \"" + s.standard + "\"", "the id of one of its levels");
  for (const Reading& r : s.readings)
    for (const std::string& level : r.levels)
      if (!s.find(level)) own.error(root.at("reading"), "reading " + r.id + " is of a level \"" + level + "\" that the scheme does not have", "the id of one of its levels");
  for (const Diagnostic& d : own.all()) diagnostics.error(d.at, d.wrong, d.right);
  if (!own.ok()) return std::nullopt;
  return s;
}

std::vector<std::string> scheme_ids() {
  // the file's name is the scheme's id
  std::vector<std::string> ids;
  for (std::string_view path : embedded_assets_paths()) {
    constexpr std::string_view folder = "schemes/", ending = ".toml";
    if (!path.starts_with(folder) || !path.ends_with(ending)) continue;
    std::string id(path.substr(folder.size(), path.size() - folder.size() - ending.size()));
    if (std::find(other_files.begin(), other_files.end(), id) == other_files.end()) ids.push_back(id);
  }
  std::sort(ids.begin(), ids.end());
  return ids;
}

std::optional<Scheme> scheme(const std::string& id, const std::vector<std::string>& readings) {
  const std::vector<std::string> ids = scheme_ids();
  if (std::find(ids.begin(), ids.end(), id) == ids.end()) return std::nullopt;
  const std::string file = "schemes/" + id + ".toml";
  Diagnostics diagnostics;
  auto s = read_scheme(embedded_assets(file), readings, diagnostics);
  if (s && s->id != id) diagnostics.error({}, "its id is " + s->id, id);
  require_sound(file, diagnostics);
  return s;
}

bool names_a_file(const std::string& scheme) { return scheme.find('/') != std::string::npos || scheme.ends_with(".toml"); }

}  // namespace rakelight
