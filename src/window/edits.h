// Changes of a job as plain values: what every control of the window makes.
#pragma once
#include <string>
#include <vector>

#include "base/diagnostics.h"
#include "base/loader.h"
#include "base/vec.h"
#include "job/read.h"

namespace rakelight {

/// One key of one table. Of a [[table]], the entry that bears `name` (a joint's id), written or by its number;
/// a [[surface]], [[joint]] or [[viewer]] that is not there yet is added. value: TOML text; "" takes the key away with its line.
struct Edit {
  std::string table, name, key, value;
  bool operator==(const Edit&) const = default;
};
/// "long: level 5", for people.
std::string edit_text(const Edit& edit);

/// The text with the edit made in place. What cannot be done goes to `diagnostics`, and the text is returned as is.
JobText with_edit(const JobText& text, const Edit& edit, Diagnostics& diagnostics);
JobText with_edits(JobText text, const std::vector<Edit>& edits, Diagnostics& diagnostics);
/// A later edit of the same key takes the place of an earlier one.
void put_edit(std::vector<Edit>& edits, const Edit& edit);

/// Every stage that is quick: what a job must pass before an edit of it stands. Not the light.
void check_text(const JobText& text, const Loader& loader, Diagnostics& diagnostics);

/// Metres as a number of the file's unit: tenths of a millimetre, or sixty-fourths of an inch.
std::string length_value(Units units, double metres);
std::string point_value(Units units, dvec3 metres);
std::string place_value(Units units, dvec2 metres);
std::string text_value(const std::string& text);
std::string time_value(const LocalTime& time);

}  // namespace rakelight
