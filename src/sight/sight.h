// Whether a person sees it: the standard spatial observer and glare (physics 4, docs/reference/optics.md section 8).
#pragma once
#include <string>
#include <vector>

#include "base/vec.h"

namespace rakelight {

/// Binocular modulation sensitivity at 50 % detection (Barten 1999, "Contrast Sensitivity of the Human Eye", eq. 3.26);
/// L > 0 cd/m², field side X0 > 0 degrees, u >= 0 cycles/degree; 0 at DC.
double barten_sensitivity(double luminance, double field_deg, double cycles_per_degree);
/// Standard observer's filter (Watson & Ahumada 2005, 30 cd/m²) moved with luminance by Barten's ratio for a 2° field
/// and capped by his 40° field: min{H·S(u;L,2°)/S(u;30,2°), S(u;L,40°)/1.0110}; 0 at DC. L > 0 cd/m².
double observer_sensitivity(double luminance, double cycles_per_degree);

/// Exponent with which what is seen in different places adds up (Watson & Ahumada 2005, standard observer).
inline constexpr double pooling = 2.4081;

/// A random pattern that lies over what is looked at and hides it: contrast of power spectrum
/// strength (u pitch)² exp(−(u pitch)²), degrees², across the pattern at u cycles per degree.
struct Grain { double strength = 0, pitch_deg = 0; };
/// Spectrum of a still grain, degrees², that raises the threshold of a grating at u by √2: the photon and neural noise of
/// Barten 1999 (in his eq. 3.26) over his integration time, as seen through his optics, which grain passes and they do not. L > 0 cd/m², u > 0 cycles/degree.
double equivalent_grain(double luminance, double cycles_per_degree);
/// The same at one luminance for many frequencies, what depends on the luminance worked out once.
class EquivalentGrain {
 public:
  explicit EquivalentGrain(double luminance);
  double operator()(double cycles_per_degree) const;

 private:
  double blur_ = 0, photon_noise_ = 0;
};

/// Visibility V, just-noticeable units, of a one-dimensional contrast pattern sampled every `degrees_per_sample`
/// (cell averages; zero outside), adaptation luminance cd/m²; the largest over fixation places. The filter holds from 0.05 to
/// 20 000; below, V falls with the square root of luminance (de Vries 1943, Rose 1948), above it stays. `length_deg`: imaged length of the joint along itself (infinite when <= 0). V = 1 is a pattern right in 84 %
/// of two-interval choices (ModelFest); numerically within 1 %. Homogeneous: twice the contrast is twice V. Under grain the
/// filter is divided by √(1 + spectrum / equivalent_grain) at every frequency (noises add).
double visibility(const std::vector<double>& contrast, double degrees_per_sample, double luminance, double length_deg = 0,
                  const std::vector<Grain>& grain = {});

/// What patterns up to 120° wide need once in a program, made now: some ten milliseconds that the first visibility() of each size would wait for.
void get_ready_to_see();

/// Full two-dimensional form for small marks and for checks: row-major pattern, same units, with the oblique effect.
double visibility_2d(const std::vector<double>& contrast, int width, int height, double degrees_per_sample, double luminance);

/// Veiling luminance, cd/m² (CIE 146:2002 general disability glare equation): `angle` between gaze and source, rad
/// (clamped to 0.1°…100°), illuminance on a plane square to the gaze, lx.
double veiling_luminance(double angle, double illuminance, double age, double pigment = 0.5);

/// Least contrast (amplitude) of one bipolar cycle spread over `width` seen from `distance` (m) at V = 1; infinite
/// when no contrast up to 1 is seen.
struct LeastContrast { double cycles_per_degree = 0, threshold = 0; };
LeastContrast least_contrast(double luminance, double width, double distance);

enum class Verdict { hidden, faint, shows };
std::string verdict_text(Verdict v);
/// A verdict with its band [V/band, V·band], V = gain × raw. Hidden: the whole band is under `faint`; shows:
/// V ≥ `shows`; faint between. Borderline: the band crosses one of the two limits.
struct Judged { double visibility = 0, low = 0, high = 0; Verdict verdict = Verdict::hidden; bool borderline = false; };
Judged judge(double raw_visibility, double gain, double band, double faint, double shows);

/// Probability that a pattern of visibility V is detected: 1 − 2^(−V^3.5).
double detection_probability(double visibility);

}  // namespace rakelight
