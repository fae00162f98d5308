#include "window/way_edits.h"

#include <algorithm>

namespace rakelight {

std::vector<Edit> way_edits(const Study& study, int surface, const Way& way) {
  const Surface& face = study.room.surfaces[surface];
  const SurfaceSpec& spec = study.job.surfaces[face.spec];
  std::vector<Edit> edits;
  for (const std::string& line : way_keys(study, surface, way)) {
    const auto equals = line.find(" = ");
    edits.push_back({"surface", face.name, line.substr(0, equals), line.substr(equals + 3)});
  }
  const auto left_out = [&](const char* key, bool given) {
    if (given && std::none_of(edits.begin(), edits.end(), [&](const Edit& e) { return e.key == key; })) edits.push_back({"surface", face.name, key, ""});
  };
  left_out("first_row", spec.first_row.given);
  left_out("first_sheets", spec.first_sheets.given);
  return edits;
}

}  // namespace rakelight
