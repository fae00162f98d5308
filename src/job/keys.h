// The one table of the job file's keys: it makes the checks, the defaults, the suggestions, the list of
// assumptions and the page docs/user/job-file.md.
#pragma once
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "job/job.h"

namespace rakelight {

enum class KeyKind {
  whole, number, degrees,      ///< plain numbers
  length, angle,               ///< number in the file's length unit; degrees, kept as rad
  text, word,                  ///< any text; one of `words`
  word_or_number,              ///< one of `words`, or a number in range
  size, point, direction,      ///< [width, length]; [x, y, z] as lengths; [x, y, z] without unit
  corners, names,              ///< [[x, y], …] as lengths; ["a", "b", …]
  lengths, words,              ///< a list of lengths; one of `words` or a list of them
  lengths_in_order,            ///< a list of lengths whose order counts
  time, lamps, look, paint,    ///< date and time; on | off | names; a surface or a point; a class or a table
  flag, seen,                  ///< true | false; { wall = a wall's name, at = a date and time }
  place, skyline,              ///< [x, y] as lengths; degrees, or [[bearing, degrees], …]
  date,                        ///< a day without a time
  flatness, word_or_table,     ///< [gap, rule] as lengths; one of `words` or a table with rows of its own
};

struct KeyRow {
  std::string_view table;      ///< "" = top of the file; "surface.paint" = the table that surface.paint may be
  std::string_view key;
  KeyKind kind = KeyKind::text;
  enum class Status { optional, required, later } status = Status::optional;  ///< later: known, not yet supported
  std::string_view standard;   ///< the default as a TOML value, lengths in mm; "" = none. Of a later key: the value that means "none"
  double least = 0, most = 0;  ///< closed range; lengths in mm, angles in degrees
  std::string_view words;      ///< accepted words, '|' between; the order is the enum's where the value is an enum
  std::string_view later;      ///< words that are known and not yet supported; "[]" for a list, "{}" for a table
  std::string_view what;       ///< one line for the person who writes the file
  std::string_view why;        ///< where the default comes from; "" = the default is no assumption about the place
};

struct TableRow {
  std::string_view name;
  bool many = false;           ///< [[name]]
  std::string_view what;
};

std::span<const KeyRow> key_rows();
std::span<const TableRow> table_rows();
const KeyRow* find_key(std::string_view table, std::string_view key);
const TableRow* find_table(std::string_view name);

/// "a|b" to {"a", "b"}.
std::vector<std::string> split_words(std::string_view words);
/// What a value of the row must be: "a length from 0 to 20000 mm".
std::string describe(const KeyRow& row, Units units);
/// The default with its unit: "180 mm"; "" when there is none.
std::string standard_text(const KeyRow& row, Units units);

}  // namespace rakelight
