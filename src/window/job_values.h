// Between what a person types for a key and what stands in the job's text.
#pragma once
#include <array>
#include <string>
#include <string_view>
#include <vector>

#include "assess/assess.h"
#include "job/keys.h"
#include "job/tree.h"

namespace rakelight {

/// What a value is edited with.
enum class Control {
  fields,    ///< typed, one field or one per part; what it may name is offered beside
  tick,      ///< yes or no
  choice,    ///< one word of a list
  ticks,     ///< any of some words
  choices,   ///< one word after the other, each of a list
  bearings,  ///< one height all round, or a row per bearing
  lamps,     ///< off, on, or a row per lamp and group: on, dimmed, and of a hand lamp where it is held
  outline,   ///< with the walls as they are walked round
};
Control control_of(const KeyRow& row);

/// How many fields a value has: 3 of a point, 2 of a size, a place or a sighting of the sun (wall, time), else 1.
int field_count(const KeyRow& row);
/// Whether a value has as many fields as there are items in it: of a skyline one for all round or two per bearing, of lamps
/// and words one each.
bool any_count(const KeyRow& row);

/// One of the lamps of a moment, as a person types it; what is empty is not said.
struct LampItem {
  std::string name, dim;
  std::array<std::string, 3> at, aim;
};
/// From a field of a moment's lamps, a name or a TOML table, and back: a name where no more is said.
LampItem lamp_item(const std::string& field);
std::string lamp_field(const LampItem& item);

/// What the fields show of a written value. `text`: the job's, in which the node stands.
std::vector<std::string> fields_of(const KeyRow& row, const TomlNode& node, std::string_view text);
/// What the fields show, greyed, of the value that stands in for one that is not written; empty where none does.
std::vector<std::string> usual_fields(const KeyRow& row, Units units);
/// What was typed as a TOML value; always one, so that `check` can say what is wrong with it. "" when nothing was typed.
std::string value_of_fields(const KeyRow& row, Units units, const std::vector<std::string>& fields);
/// "mm", "in", "°" or "": of what stands in the fields.
std::string unit_of(const KeyRow& row, Units units);
/// What a person may choose among: the row's words, or the walls, levels, paints … that there are. `study` may be null.
std::vector<std::string> choices(const KeyRow& row, const Study* study);

}  // namespace rakelight
