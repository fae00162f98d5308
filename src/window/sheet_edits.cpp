#include "window/sheet_edits.h"

#include <algorithm>
#include <fmt/format.h>

#include "base/say.h"
#include "base/text.h"
#include "window/job_values.h"
#include "window/renames.h"

namespace rakelight {
namespace {

using Keys = std::vector<std::pair<std::string, std::string>>;

std::string raw_of(const TomlNode& node, const std::string& text) { return text.substr(node.at.begin, node.at.end - node.at.begin); }

/// After a lamp or its group got another name: the text in which the moments switch it by that.
JobText with_names_followed(const JobText& before, const JobText& after, const TablePlace& place, const std::string& key) {
  if (place.table != "lamp" || (key != "name" && key != "group")) return after;
  Diagnostics ignored;
  const auto was = parse_tree(before.text(), ignored), is = parse_tree(after.text(), ignored);
  if (!was || !is) return after;
  const auto called = [&](const TomlNode& file, int index, bool group) {
    const TomlNode* node = group ? key_node(file, {"lamp", index, ""}, "group") : nullptr;
    return group ? node ? node->text : std::string() : entry_name(file, "lamp", index);
  };
  const std::string from = called(*was, place.index, key == "group");
  // another lamp of the group, or one called so, keeps the old name
  for (int i = 0; i < entry_count(*is, "lamp"); ++i)
    for (const bool group : {false, true})
      if (called(*is, i, group) == from) return after;
  return with_lamp_renamed(after, from, called(*is, place.index, key == "group"));
}

/// The first of the entries that the job takes. Returns its index or -1 with the words for the last that it did not.
int first_that_fits(Model& model, const std::string& table, const std::vector<Keys>& tries, std::string& why) {
  for (const Keys& keys : tries) {
    Diagnostics said;
    const JobText text = with_entry(JobText(model.history.now().text), table, keys, said);
    if (said.ok() && model.replace(text.text(), say("{} added", keys.empty() ? table : table + " " + keys.front().second), said)) {
      Diagnostics ignored;
      const auto file = parse_tree(text.text(), ignored);
      return file ? entry_count(*file, table) - 1 : -1;
    }
    why = check_words(said, {});
  }
  return -1;
}

std::string free_name(const TomlNode& file, const std::string& table, const std::string& stem) {
  const int count = entry_count(file, table);
  for (int n = count + 1;; ++n) {
    const std::string name = fmt::format("{}{}", stem, n);
    bool taken = false;
    for (int i = 0; i < count; ++i) taken = taken || entry_name(file, table, i) == name;
    if (!taken) return text_value(name);
  }
}

/// Openings of a size that comes down until one fits somewhere, from the left of each wall.
std::vector<Keys> openings(const Study& study, const Keys& first, const std::vector<dvec2>& sizes, double sill, const Keys& last) {
  const Units units = study.job.units;
  std::vector<Keys> tries;
  for (const dvec2 size : sizes)
    for (int wall = 0; wall < study.room.wall_count(); ++wall) {
      const double length = study.room.surfaces[wall].box.hi.x;
      for (double from = 0.25; from + size.x <= length - 0.1; from += 0.25) {
        Keys keys = first;
        keys.insert(keys.end(), {{"wall", text_value(study.room.surfaces[wall].name)}, {"from_left", length_value(units, from)}});
        if (sill > 0) keys.emplace_back("sill", length_value(units, sill));
        keys.insert(keys.end(), {{"width", length_value(units, size.x)}, {"height", length_value(units, std::min(size.y, study.room.height - sill - 0.1))}});
        keys.insert(keys.end(), last.begin(), last.end());
        tries.push_back(keys);
      }
    }
  return tries;
}

std::vector<Keys> tries_for(const Model& model, const TomlNode& file, const std::string& table, const Study& study) {
  const Room& room = study.room;
  const Units units = study.job.units;
  const dvec2 middle = room.middle();
  if (table == "window") return openings(study, {{"name", free_name(file, table, "W")}}, {{1.2, 1.2}, {0.6, 0.9}}, std::min(0.9, 0.3 * room.height), {});
  if (table == "door") return openings(study, {}, {{0.826, 2.04}, {0.6, 1.9}}, 0, {});
  if (table == "lamp") return {{{"name", free_name(file, table, "L")}, {"kind", "\"downlight\""}, {"at", point_value(units, {middle, room.height})}}};
  if (table == "surface") {
    std::vector<Keys> tries;
    for (int s = 0; s <= room.ceiling(); ++s)
      if (room.surfaces[s].spec < 0) tries.push_back({{"name", text_value(room.surfaces[s].name)}});
    return tries;
  }
  if (table == "joint") {
    std::vector<Keys> tries;
    const auto offer = [&](const std::string& id) {
      for (const JointSpec& known : study.job.joints)
        if (*known.id == id) return;
      tries.push_back({{"id", text_value(id)}});
    };
    if (!model.joint.empty()) offer(model.joint);
    for (const Layout& layout : study.layouts)
      for (const JointLine& joint : layout.joints) offer(joint.id);
    return tries;
  }
  if (table == "moment") {
    std::vector<Keys> tries;
    const auto at = [&](const LocalTime& time) { tries.push_back({{"name", free_name(file, table, "T")}, {"at", time_value(time)}, {"sky", "\"clear\""}}); };
    if (model.moment && model.moment->time.given) at(*model.moment->time);
    at(time_on_day(usual_year, 172, 20 * 60));
    tries.push_back({{"name", free_name(file, table, "T")}, {"sky", "\"none\""}, {"lamps", "\"on\""}});
    return tries;
  }
  if (table == "viewer") {
    const std::string look = text_value(model.surface.empty() ? room.surfaces[0].name : model.surface), name = free_name(file, table, "V");
    std::vector<Keys> tries;
    if (model.place) tries.push_back({{"name", name}, {"eye", point_value(units, model.place->eye)}, {"look", look}});
    tries.push_back({{"name", name}, {"eye", point_value(units, {middle, std::min(1.6, 0.7 * room.height)})}, {"look", look}});
    return tries;
  }
  return {};
}

}  // namespace

std::string key_id(const TablePlace& place, std::string_view key) { return place.path() + std::string(key); }

std::shared_ptr<const TomlNode> tree_of(SheetDesk& desk, const Model& model) {
  const std::string& text = model.history.now().text;
  if (!desk.tree || desk.parsed != text) {
    Diagnostics ignored;
    auto tree = parse_tree(text, ignored);
    desk.tree = tree ? std::make_shared<const TomlNode>(*std::move(tree)) : nullptr;
    desk.parsed = text;
  }
  return desk.tree;
}

Units units_of(const TomlNode& file) {
  const TomlNode* units = key_node(file, {}, "units");
  return units && units->text == "inch" ? Units::inch : Units::millimetre;
}

std::string check_words(const Diagnostics& said, const Diagnostics& before) {
  std::string out;
  int shown = 0;
  for (const Diagnostic& d : said.all()) {
    if (d.level != Diagnostic::Level::error) continue;
    const bool old = std::any_of(before.all().begin(), before.all().end(), [&](const Diagnostic& b) { return b.wrong == d.wrong && b.right == d.right; });
    if (old || ++shown > 2) continue;
    out += (out.empty() ? "" : "\n") + d.wrong;
    if (!d.right.empty()) out += "\n" + say("right would be: {}", d.right);
  }
  return out;
}

bool set_fields(Model& model, SheetDesk& desk, const TablePlace& place, const KeyRow& row, const std::vector<std::string>& fields) {
  const std::string id = key_id(place, row.key), key(row.key);
  const auto file = tree_of(desk, model);
  if (!file) {
    desk.wrong[id] = {place, key, fields, say("the text of the job is no TOML: put it right there first")};
    return false;
  }
  const std::string now = model.history.now().text;
  const Units units = units_of(*file);
  const auto made = [&](const JobText& text, const SheetDesk::Wrong& w, Diagnostics& said) {
    const std::string value = value_of_fields(*find_key(w.place.name(), w.key), units, w.fields);
    if (!value.empty()) {
      Diagnostics ignored;
      const auto tree = parse_tree(text.text(), ignored);
      const TomlNode* written = tree ? key_node(*tree, w.place, w.key) : nullptr;
      if (written && raw_of(*written, text.text()) == value) return text;
    }
    const JobText changed = value.empty() ? without_key(text, w.place, w.key, said) : with_key(text, w.place, w.key, value, said);
    return with_names_followed(text, changed, w.place, w.key);
  };
  const SheetDesk::Wrong mine{place, key, fields, ""};
  const std::string what = [&] {
    std::string all;
    for (const std::string& f : fields) all += (all.empty() ? "" : ", ") + f;
    const std::string of = place.index >= 0 ? entry_name(*file, place.table, place.index) + ": " : "";
    return of + (all.empty() ? say("{} as usual", key) : key + " " + all);
  }();
  // what of the same entry waits for this one
  std::vector<std::string> waiting;
  for (const auto& [other, w] : desk.wrong)
    if (other != id && w.place.table == place.table && w.place.index == place.index) waiting.push_back(other);
  Diagnostics before;
  check_text(JobText(now), model.loader(), before);
  for (const bool together : {true, false}) {
    if (together && waiting.empty()) continue;
    Diagnostics said;
    JobText text = made(JobText(now), mine, said);
    if (together)
      for (const std::string& other : waiting) text = made(text, desk.wrong[other], said);
    if (said.ok() && (text.text() == now || model.replace(text.text(), what, said))) {
      desk.wrong.erase(id);
      if (together)
        for (const std::string& other : waiting) desk.wrong.erase(other);
      return true;
    }
    if (!together) desk.wrong[id] = {place, key, fields, check_words(said, before.ok() ? Diagnostics{} : before)};
  }
  if (desk.wrong[id].said.empty()) desk.wrong[id].said = say("the job does not get any sounder by this");
  return false;
}

int add_entry(Model& model, SheetDesk& desk, const std::string& table, const Study* study) {
  const auto file = tree_of(desk, model);
  if (!file || !study) {
    model.notice = say("the job must be readable before something is added to it");
    return -1;
  }
  std::string why;
  const int index = first_that_fits(model, table, tries_for(model, *file, table, *study), why);
  if (index >= 0) desk.entry[table] = index;
  else model.notice = why.empty() ? say("there is no more room for one") : say("not done: {}", why.substr(0, why.find('\n')));
  return index;
}

bool remove_entry(Model& model, SheetDesk& desk, const std::string& table, int index) {
  const auto file = tree_of(desk, model);
  if (!file) return false;
  const std::string what = say("{} taken out", entry_name(*file, table, index));
  Diagnostics said;
  const JobText text = without_entry(JobText(model.history.now().text), table, index, said);
  if (!said.ok() || !model.replace(text.text(), what, said)) {
    const std::string why = check_words(said, {});
    model.notice = say("not done: {}", why.substr(0, why.find('\n')));
    return false;
  }
  std::erase_if(desk.wrong, [&](const auto& w) { return w.second.place.table == table; });
  desk.typed.clear();
  desk.entry[table] = std::max(0, index - 1);
  return true;
}

}  // namespace rakelight
