// What the sheet of the whole job does to it: values typed, taken out, entries added and removed. Each that stands is one undo
// step; one that the job cannot take is kept as it was typed, with the words of `check`. No drawing.
#pragma once
#include <map>
#include <memory>
#include <set>
#include <string>
#include <vector>

#include "window/job_entries.h"
#include "window/model.h"

namespace rakelight {

/// What a person has under way in the sheet.
struct SheetDesk {
  std::string section = "room";        ///< a table's name; "" = the top of the file
  std::map<std::string, int> entry;    ///< the entry that is open, by table
  std::map<std::string, std::vector<std::string>> typed;  ///< fields that are typed in just now, by key_id
  struct Wrong { TablePlace place; std::string key; std::vector<std::string> fields; std::string said; };
  std::map<std::string, Wrong> wrong;  ///< what was typed and does not stand, by key_id
  std::set<std::string> opened;        ///< inner tables that are shown, by path
  std::string parsed;                  ///< the text whose tree is kept
  std::shared_ptr<const TomlNode> tree;
  std::string to_show;                 ///< a row to scroll to
};

/// "window[0].sill".
std::string key_id(const TablePlace& place, std::string_view key);
/// The job's text as a tree, parsed anew when it changed; null when it is no TOML. It lives as long as it is held.
std::shared_ptr<const TomlNode> tree_of(SheetDesk& desk, const Model& model);
Units units_of(const TomlNode& file);

/// What was typed for a key becomes its value; nothing typed takes the key out. Together with what else of the entry does not
/// stand yet, else alone. Returns whether it stands; if not it is in `desk.wrong`.
bool set_fields(Model& model, SheetDesk& desk, const TablePlace& place, const KeyRow& row, const std::vector<std::string>& fields);
/// A new [[table]] that fits the job as it is: where there is room, of the time and place that are looked at. Returns its
/// index; on failure -1, and the notice says why.
int add_entry(Model& model, SheetDesk& desk, const std::string& table, const Study* study);
/// Takes an entry out. On failure the notice says why.
bool remove_entry(Model& model, SheetDesk& desk, const std::string& table, int index);

/// What `check` says, line by line: what is wrong, what would be right. Of errors that `before` does not have, if it has any.
std::string check_words(const Diagnostics& said, const Diagnostics& before);

}  // namespace rakelight
