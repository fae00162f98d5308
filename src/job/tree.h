// TOML text as a plain tree whose every node knows its exact place; the parser itself stays in tree.cpp.
#pragma once
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/diagnostics.h"
#include "job/job.h"

namespace rakelight {

struct TomlEntry;

struct TomlNode {
  enum class Type { boolean, whole, real, text, time, date, part_of_time, list, table };
  /// How a node is written: as a value behind its key ({ … } and [ … ] too), by [headings], by dotted keys,
  /// or as the file itself.
  enum class Form { value, headed, dotted, file };
  Type type = Type::table;
  Form form = Form::value;
  bool boolean = false;
  double number = 0;           ///< of whole and real
  std::string text;            ///< of text, escapes resolved
  LocalTime time;              ///< of time: a date with a time of day; of date: the day alone
  std::vector<TomlNode> items;     ///< of list, in order
  std::vector<TomlEntry> entries;  ///< of table, in the order of the text
  Span at;                     ///< of the value's text; of a headed table, its heading; of the file, [0, 0)

  bool is_number() const { return type == Type::whole || type == Type::real; }
  const TomlEntry* find(std::string_view key) const;
};

struct TomlEntry {
  std::string key;
  Span key_at;
  TomlNode value;
};

/// Parses TOML 1.0 text. On a syntax error (the parser stops at the first) or names nested over 100 deep:
/// one error, and empty.
std::optional<TomlNode> parse_tree(std::string_view text, Diagnostics& diagnostics);

/// One TOML value as text ("[1200, 2400]"), with nothing but blanks around it. Empty when it is not one.
std::optional<TomlNode> parse_value(std::string_view value);

}  // namespace rakelight
