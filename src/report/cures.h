// What counsel says of one surface, for people and for programs.
#pragma once
#include <string>

#include "advice/counsel.h"
#include "report/json_parts.h"

namespace rakelight {

std::string cures_text(const Study& study, const SurfaceCounsel& counsel, bool colour);
/// Keys of docs/schema/assess.json's advice: cures, lamps_later, standard.
void put_cures(Json& advice, const Study& study, const SurfaceCounsel& counsel);
Json cure_json(const Study& study, const Cure& cure);

}  // namespace rakelight
