#include "cost/sections.h"

#include <algorithm>
#include <cmath>

#include "base/units.h"
#include "joint/make_up.h"

namespace rakelight {

std::vector<CoatVolume> coat_volumes(const PlacedJoint& joint) {
  const Section built = joint.measured ? make_section(joint.recipe, joint.figures) : Section();
  const Section& s = joint.measured ? built : joint.section;
  const bool spots = !joint.line.spots.empty();
  const std::size_t count = std::min(static_cast<std::size_t>(coats_on(joint.recipe.level, joint.recipe.kind)), s.coats.size());
  std::vector<CoatVolume> out(count);
  for (std::size_t k = 0; k < count; ++k) {
    const std::vector<double>& before = k == 0 ? s.bare : s.coats[k - 1];
    const double kept = 1 - shrinkage_of_coat(joint.recipe.compound, static_cast<int>(k));
    double area = 0;                             // of the strip's section, m²; of a spot its volume, m³
    for (std::size_t i = 0; i < before.size(); ++i) {
      const double u = s.first + s.step * static_cast<double>(i);
      const bool taped = k == 0 && s.tape_thickness > 0 && u >= s.tape_from && u <= s.tape_to;
      const double wet = std::max(0.0, s.coats[k][i] - before[i] - (taped ? s.tape_thickness : 0.0)) / kept;
      // each half of a spot's section goes round half a turn
      area += wet * s.step * (spots ? pi * std::abs(u) : 1);
      out[k].thickest = std::max(out[k].thickest, wet);
    }
    out[k].volume = area * (spots ? static_cast<double>(joint.line.spots.size()) : joint.line.length());
  }
  return out;
}

}  // namespace rakelight
