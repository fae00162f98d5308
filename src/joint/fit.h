// A measured cross-section: its points from a file, and the smooth section that they speak for, with its uncertainty.
#pragma once
#include <optional>
#include <string_view>
#include <vector>

#include "base/diagnostics.h"
#include "base/loader.h"
#include "joint/curve.h"
#include "joint/joint.h"

namespace rakelight {

/// Points across a joint, in the order of the offsets; m. Heights over any straight line.
struct MeasuredPoints { std::vector<double> offset, height; };

/// Reads lines `offset_mm,height_mm` under a heading of those words; blank lines and lines that start with # are passed
/// over. At least 7 points, offsets rising by at least 0.01 mm from below 0 (the joint's line) to above it, the whole no wider than
/// 3 m, heights within 50 mm. Complaints lie in `text`.
std::optional<MeasuredPoints> read_measured(std::string_view text, Diagnostics& diagnostics);

struct FittedSection {
  HeightCurve face;                    ///< over the chord from end to end, every half millimetre or so, m
  std::vector<double> sd;              ///< of each height, m
  double noise = 0;                    ///< standard deviation of single readings about the section, m
  double crown = 0, crown_sd = 0;      ///< highest point, or lowest where that is further off; m
  double spacing = 0;                  ///< the widest step between points: marks narrower than two of them are not in it
  int points = 0;
};

/// The natural cubic smoothing spline through the points (Reinsch 1967; Green & Silverman 1994, chapter 2) whose smoothness
/// is chosen by generalised cross-validation (Craven & Wahba 1979); uncertainty by its Bayesian form, variance times the
/// smoother's diagonal (Wahba 1983). More than 300 points are first averaged in neighbouring groups. Needs at least 7.
FittedSection fit_section(const MeasuredPoints& points);

/// The fit as a joint's section: its ends are the feathers, nothing is known of coats.
Section section_of(const FittedSection& fit);

/// Fetches what [[joint]] entries name. Complaints about a file stand at the key, with the file's own line and column in them.
void load_measured(Job& job, const Loader& loader, Diagnostics& diagnostics);
/// Complains of measured sections on lines where no two sheets meet.
void check_measured(const Job& job, const std::vector<Layout>& layouts, Diagnostics& diagnostics);

}  // namespace rakelight
