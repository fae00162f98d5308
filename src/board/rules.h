// The rules that a layout of sheets is held to, each with its source. A rule says what is usual where nothing else was agreed; a
// job relaxes one on a surface by `relax`. Breaches are reported either way.
#pragma once
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "job/job.h"

namespace rakelight {

struct Rule {
  std::string_view id;       ///< as surface.relax names it
  std::string_view says;     ///< for people; {} stands for its limit
  double limit = 0;          ///< m; 0 = none
  std::string_view source;   ///< where it comes from, and whether that was read or is from memory
};
std::span<const Rule> rules();
const Rule& rule(std::string_view id);
/// What it says, with its limit in the job's unit.
std::string rule_text(const Rule& rule, Units units);
inline bool relaxed(const SurfaceSpec& spec, std::string_view id) {
  for (const std::string& r : *spec.relax)
    if (r == id) return true;
  return false;
}

struct Breach {
  const Rule* rule = nullptr;
  std::string joint;         ///< id, "" where it is the face's or the sheets'
  std::string what;          ///< for people, lengths in the job's unit
  bool relaxed = false;      ///< the job allows it
};

}  // namespace rakelight
