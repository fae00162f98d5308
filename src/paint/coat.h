// A coat from its gloss.
#pragma once
#include <string>

#include "paint/paint.h"

namespace rakelight {

/// A paint alike over all of the face, from gloss units at 60 and 85 degrees.
Paint make_coat(const std::string& name, double gloss60, double gloss85, double reflectance);

}  // namespace rakelight
