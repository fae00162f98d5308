#include <algorithm>

#include "joint/embedded_table.h"

namespace rakelight {
namespace {

Scheme read_scheme(const std::string& file) {
  toml::table table = parse_embedded(file);
  Embedded root(file, table);
  Scheme s;
  s.id = root.text("id");
  s.title = root.text("title");
  s.source = root.text("source");
  for (const Embedded& t : root.subs("level")) {
    Level l;
    l.id = t.text("id");
    l.title = t.text("title");
    l.tape = t.flag("tape");
    l.coats = t.count("coats");
    l.wiped_coat = t.flag("wiped_coat", false);
    l.recessed_widths = t.list_of_metres("recessed_widths");
    l.butt_widths = t.list_of_metres("butt_widths");
    l.skim = t.metres("skim");
    l.use = t.text("use");
    l.source = t.text("source");
    std::size_t widths = l.tape ? static_cast<std::size_t>(1 + l.coats + (l.wiped_coat ? 1 : 0)) : 0;
    if (l.recessed_widths.size() != widths || l.butt_widths.size() != widths)
      broken(file, "level " + l.id + ": one width for the bed and for each coat");
    s.levels.push_back(std::move(l));
  }
  return s;
}

}  // namespace

std::vector<std::string> scheme_ids() {
  // the file's name is the scheme's id
  std::vector<std::string> ids;
  for (std::string_view path : embedded_assets_paths()) {
    constexpr std::string_view folder = "schemes/", ending = ".toml";
    if (!path.starts_with(folder) || !path.ends_with(ending)) continue;
    std::string id(path.substr(folder.size(), path.size() - folder.size() - ending.size()));
    if (id != "workmanship") ids.push_back(id);
  }
  std::sort(ids.begin(), ids.end());
  return ids;
}

std::optional<Scheme> scheme(const std::string& id) {
  std::vector<std::string> ids = scheme_ids();
  if (std::find(ids.begin(), ids.end(), id) == ids.end()) return std::nullopt;
  Scheme s = read_scheme("schemes/" + id + ".toml");
  if (s.id != id) broken("schemes/" + id + ".toml", "its id is " + s.id);
  return s;
}

const Level* Scheme::find(const std::string& level) const {
  for (const Level& l : levels)
    if (l.id == level) return &l;
  return nullptr;
}

}  // namespace rakelight
