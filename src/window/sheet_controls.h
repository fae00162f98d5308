// Controls of the job's sheet for values that hold several: heights of a skyline, lamps of a time, words in a list.
#pragma once
#include <functional>
#include <string>
#include <vector>

#include "window/job_values.h"
#include "window/sheet_edits.h"
#include "window/view.h"

namespace rakelight {

inline constexpr ImU32 usual_ink = IM_COL32(92, 92, 92, 255);  ///< of what stands in for a value: told from a written one at a glance
inline constexpr float name_wide = 10.5f, field_wide = 12.5f;   ///< em: a row's columns

/// One value in the sheet. The cursor stands where its fields begin; `x` is where its row does.
struct Cells {
  Sight& s;
  const TomlNode& file;
  const KeyRow& row;
  std::string id;                               ///< key_id
  float x;
  std::vector<std::string> fields, usual;       ///< as the job or what was typed last has them; what stands in for them
  std::function<void(const std::vector<std::string>&)> put;  ///< these are to be the value's; all empty: it is not said
};

/// One height all round, or a row for each bearing.
void bearing_cells(const Cells& c);
/// Off, on, or these: a row for each lamp and group, ticked, with what it is dimmed to and where a hand lamp is held.
void lamp_cells(const Cells& c);
/// A tick for each word that there is.
void tick_cells(const Cells& c, const std::vector<std::string>& words);
/// One word after the other, each chosen from all that there are.
void choice_cells(const Cells& c, const std::vector<std::string>& words);

}  // namespace rakelight
