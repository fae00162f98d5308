// Between what a person types for a key and what stands in the job's text.
#pragma once
#include <string>
#include <string_view>
#include <vector>

#include "assess/assess.h"
#include "job/keys.h"
#include "job/tree.h"

namespace rakelight {

/// How many fields a value has: 3 of a point, 2 of a size or a place, else 1.
int field_count(const KeyRow& row);
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
/// Whether nothing but one of the choices will do.
bool only_choices(const KeyRow& row);

}  // namespace rakelight
