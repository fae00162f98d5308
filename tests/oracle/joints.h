// Joints across which contrast is compared, and what the program says there.
#pragma once
#include "look/look.h"
#include "oracle/measure.h"

namespace oracle {

/// A raised cosine of 1 mm over 550 mm on a face, across from → to.
struct Joint {
  Scene scene;
  int face;
  dvec2 from, to;
  dvec2 along() const { return glm::normalize(to - from); }
  dvec2 across() const { return {along().y, -along().x}; }
};
double height(double u);
double slope(double u);
/// Where across a joint contrast is compared, m.
std::vector<double> offsets();

/// The program's contrast at the middle of the joint, by offset, and the flat wall's luminance over the section.
struct SaidContrast { std::vector<double> contrast; double flat_luminance = 0; };
SaidContrast said_contrast(const Joint& joint, const Program& program, const rakelight::Paint& paint, dvec3 eye);

struct Traced { double contrast, error; };

}  // namespace oracle
