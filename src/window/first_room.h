// "Start my room" asks what the survey sheet asks, in its order: five numbers, and what else was measured, which may be left empty.
#pragma once
#include <map>
#include <string>
#include <vector>

#include "base/diagnostics.h"
#include "job/keys.h"
#include "job/starter.h"

namespace rakelight {

/// A question of the survey sheet whose answer is a key of the job, or one of the few that are reckoned from others.
struct FirstQuestion {
  const char* title;   ///< of the part of the sheet that begins with it; null within a part
  const char* name;    ///< its own, for what is typed
  const char* table;   ///< key of the job: "window", "width" …
  const char* key;
  const char* label;   ///< in English, as the languages know it
};
std::vector<FirstQuestion> first_questions();

/// The job of a room with what else was said of it; `said`: what was typed by the questions' names, empty or absent where nothing
/// was. Lengths are in the job's unit. What cannot be goes to `diagnostics` in the words of `check`, and the text is of no use then.
std::string first_job(const FirstRoom& room, const std::map<std::string, std::string>& said, Diagnostics& diagnostics);

}  // namespace rakelight
