// A contrast profile as an eye has it: over angle instead of length.
#pragma once
#include <array>
#include <vector>

#include "look/look.h"
#include "sight/sight.h"

namespace rakelight {

/// Contrast over angle across a joint's image, cell averages every `degrees_per_sample`, before veil.
struct AngularPattern {
  double degrees_per_sample = 0;       ///< of this pattern
  std::vector<double> contrast;                ///< L/L_flat − 1
  std::array<std::vector<double>, 4> change;   ///< ∂contrast/∂figure, per m; empty where the profile has none
  double luminance = 0;                        ///< to which the eye is adapted: mean flat luminance + veil, cd/m²
  double share = 1;                            ///< of it that is the face's own
  double length_deg = 0;                       ///< imaged length of the joint
  std::vector<Grain> grain;                    ///< what the paint's own texture makes in that light
};

/// The patterns of assess are sampled as finely as this.
inline constexpr double degrees_per_sample = 1.0 / 64;

/// Angle a–eye–b, rad.
double angle_between(dvec3 a, dvec3 b, dvec3 eye);

/// Maps a profile through the section's angular scale: an element du across the joint spans
/// (n·v) / (d √(1 − (t·v)²)) rad per metre, n the face's normal, t along the joint, v to the eye at distance d.
AngularPattern angular_pattern(const ContrastProfile& profile, const JointLine& line, const Frame& frame, dvec3 eye,
                               double sample_deg);

/// A paint's stipple as the eye has it at a profile's station: heights rms σ become contrast by the raking ratio R across the
/// joint, 4π (σR)² degrees² (at u pitch = 1, over e), times the image's scales across and along. Contrast is let go no
/// further than a standard deviation of a half. What sheen makes of it is left out, so that it hides rather too little.
std::vector<Grain> grain_of(const Paint& paint, const ContrastProfile& profile, const JointLine& line, const Frame& frame, dvec3 eye);

/// V of the pattern with its figures changed by `change` (m), gain 1.
double pattern_visibility(const AngularPattern& pattern, const std::array<double, 4>& change);

}  // namespace rakelight
