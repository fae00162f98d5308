// The job's text as an editor needs it: any key of any table set or taken out, entries added and removed, each as one splice.
// Comments live: a key that is taken out leaves the comment behind it.
#pragma once
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "base/diagnostics.h"
#include "job/keys.h"
#include "job/read.h"
#include "job/tree.h"

namespace rakelight {

/// A table of the job's text: "" = the top of the file; of [[tables]] the entry with that index, counted from 0; `inner`: the
/// table that one of its keys may be ("paint" of a surface, "workmanship" of finishing).
struct TablePlace {
  std::string table;
  int index = -1;
  std::string inner;
  auto operator<=>(const TablePlace&) const = default;
  /// As the key table names it: "surface.paint".
  std::string name() const { return inner.empty() ? table : table + "." + inner; }
  /// "surface[1].paint.", for what JobText::with takes.
  std::string path() const;
};

/// The table's node; null when the file has none.
const TomlNode* table_node(const TomlNode& file, const TablePlace& place);
/// The value of a key as it is written; null when it is not.
const TomlNode* key_node(const TomlNode& file, const TablePlace& place, std::string_view key);
/// How many entries a [[table]] has.
int entry_count(const TomlNode& file, const std::string& table);
/// What an entry is called: its name or id, else the wall it is in, else its number.
std::string entry_name(const TomlNode& file, const std::string& table, int index);

/// The key set to `value`, TOML text; a [table] that is not there yet is added at the end of the file, and a value that is no
/// table yet becomes one (a paint's class goes in it). What cannot be done goes to `diagnostics`, and the text is returned as is.
JobText with_key(const JobText& text, const TablePlace& place, const std::string& key, const std::string& value, Diagnostics& diagnostics);
/// The key taken out with its line; a comment behind it stays.
JobText without_key(const JobText& text, const TablePlace& place, const std::string& key, Diagnostics& diagnostics);
/// A new [[table]] behind the last of its kind, or at the end.
JobText with_entry(const JobText& text, const std::string& table, const std::vector<std::pair<std::string, std::string>>& keys, Diagnostics& diagnostics);
/// An entry taken out from its heading to its last key. Lines of comment behind that stay.
JobText without_entry(const JobText& text, const std::string& table, int index, Diagnostics& diagnostics);

}  // namespace rakelight
