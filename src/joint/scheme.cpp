#include "joint/scheme.h"

#include <algorithm>
#include <stdexcept>
#include <string_view>

#include <toml++/toml.h>

#include "base/units.h"
#include "embedded_assets.h"

namespace rakelight {
namespace {

[[noreturn]] void broken(const std::string& file, const std::string& what) {
  throw std::logic_error("embedded " + file + ": " + what);
}

/// A table of an embedded file; missing or ill-typed keys are the program's own fault.
class Embedded {
 public:
  Embedded(std::string file, const toml::table& table) : file_(std::move(file)), table_(table) {}
  std::string text(const char* key) const {
    auto v = table_[key].value<std::string>();
    if (!v) broken(file_, std::string("no text ") + key);
    return *v;
  }
  double number(const char* key) const {
    auto v = table_[key].value<double>();
    if (!v || !(*v >= 0)) broken(file_, std::string("no number >= 0 ") + key);
    return *v;
  }
  double metres(const char* key) const { return number(key) * m_per_mm; }
  double fraction(const char* key) const {
    double v = number(key);
    if (v > 1) broken(file_, std::string(key) + " above 1");
    return v;
  }
  int count(const char* key) const { return static_cast<int>(number(key)); }
  bool flag(const char* key, bool otherwise) const { return table_[key].value_or(otherwise); }
  bool flag(const char* key) const {
    auto v = table_[key].value<bool>();
    if (!v) broken(file_, std::string("no flag ") + key);
    return *v;
  }
  std::vector<double> list_of_metres(const char* key) const {
    const toml::array* array = table_[key].as_array();
    if (!array) broken(file_, std::string("no list ") + key);
    std::vector<double> out;
    for (const toml::node& node : *array) {
      auto v = node.value<double>();
      if (!v || !(*v >= 0)) broken(file_, std::string("not a number >= 0 in ") + key);
      out.push_back(*v * m_per_mm);
    }
    return out;
  }
  Spread spread(const char* key) const {
    std::vector<double> v = list_of_metres(key);
    if (v.size() != 2) broken(file_, std::string(key) + " is not [mean, sd]");
    return {v[0], v[1]};
  }
  Embedded sub(const char* key) const {
    const toml::table* t = table_[key].as_table();
    if (!t) broken(file_, std::string("no table ") + key);
    return {file_, *t};
  }
  std::vector<Embedded> subs(const char* key) const {
    std::vector<Embedded> out;
    const toml::array* array = table_[key].as_array();
    if (!array) broken(file_, std::string("no tables ") + key);
    for (const toml::node& node : *array) {
      const toml::table* t = node.as_table();
      if (!t) broken(file_, std::string("not a table in ") + key);
      out.emplace_back(file_, *t);
    }
    return out;
  }

 private:
  std::string file_;
  const toml::table& table_;
};

toml::table parse(const std::string& file) {
  std::string_view text = embedded_assets(file);
  if (text.empty()) broken(file, "missing");
  try {
    return toml::parse(text, file);
  } catch (const toml::parse_error& e) {
    broken(file, std::string(e.description()));
  }
}

Scheme read_scheme(const std::string& file) {
  toml::table table = parse(file);
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

struct Crafts {
  std::vector<Workmanship> all;
  MakeUp make_up;
};

const Crafts& crafts() {
  static const Crafts read = [] {
    const std::string file = "schemes/workmanship.toml";
    toml::table table = parse(file);
    Embedded root(file, table);
    Crafts c;
    for (const Embedded& t : root.subs("workmanship"))
      c.all.push_back({t.text("name"), t.spread("recessed_crown"), t.spread("butt_crown"), t.spread("lap_ridge"),
                       t.spread("step"), t.spread("tape_edge"), t.metres("lap_width")});
    Embedded board = root.sub("board"), tape = root.sub("tape"), shrinkage = root.sub("shrinkage"), sanding = root.sub("sanding");
    MakeUp& m = c.make_up;
    m.taper_depth = board.metres("taper_depth");
    m.taper_width = board.metres("taper_width");
    m.shoulder = board.metres("shoulder");
    m.tape_thickness = tape.metres("thickness");
    m.tape_half_width = tape.metres("half_width");
    m.bed_least = tape.metres("bed_least");
    m.bed_most = tape.metres("bed_most");
    m.cover = tape.metres("cover");
    m.setting_shrinkage = shrinkage.fraction("setting");
    m.drying_shrinkage = shrinkage.fraction("drying");
    m.sanding_fraction = sanding.fraction("fraction");
    m.sanding_block = sanding.metres("block");
    return c;
  }();
  return read;
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

std::optional<Workmanship> workmanship(const std::string& name) {
  for (const Workmanship& w : crafts().all)
    if (w.name == name) return w;
  return std::nullopt;
}

const MakeUp& make_up() { return crafts().make_up; }

double shrinkage_of_coat(const std::vector<std::string>& compound, int k) {
  if (compound.empty()) return make_up().drying_shrinkage;
  std::size_t i = std::min(static_cast<std::size_t>(k), compound.size() - 1);
  return compound[i] == "setting" ? make_up().setting_shrinkage : make_up().drying_shrinkage;
}

}  // namespace rakelight
