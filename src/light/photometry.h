// Measured intensity distributions: IES LM-63 and EULUMDAT files, and the generic ones of assets/lamps.
#pragma once
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/diagnostics.h"
#include "base/loader.h"
#include "base/vec.h"
#include "job/job.h"

namespace rakelight {

/// A distribution as its file gives it, factors applied: candela of the lamp as it shines.
///
/// Axes: gamma = 0 along the aim. C runs from the file's C = 0 towards C = 90 and, for a lamp that points down, anticlockwise
/// as seen from above (CIE 121:1996; LM-63 type C). A symmetric file's planes stand for their mirror images.
struct Photometry {
  enum class Web { c, b, a };    ///< poles: C along the aim; B (floodlights) level, along C = 0; A (headlamps) upright, along C = 90
  struct Tilt { std::vector<double> angle_deg, factor; int geometry = 1; };  ///< LM-63 TILT=INCLUDE

  std::string name;              ///< what the file calls the luminaire, for people
  std::string format;            ///< "LM-63-2002", "EULUMDAT", …
  Web web = Web::c;
  std::vector<double> vertical_deg;    ///< gamma, or V (B), Y (A); ascending
  std::vector<double> horizontal_deg;  ///< C, or H (B), X (A); ascending; one: the same all round
  std::vector<double> candela;         ///< horizontal planes one after another, each over all vertical angles
  /// Luminous opening along C = 0, along C = 90 and along the aim, m; all 0: a point.
  dvec3 opening{0};
  bool round = false;            ///< a disc or an ellipse square to the aim; else a box, or the box about a solid
  bool length_along_c90 = false; ///< the luminaire's length lies along C = 90 (EULUMDAT), else along C = 0 (LM-63)
  bool absolute = false;         ///< lumens of the luminaire itself, not of its lamps
  double lamp_lumens = 0;        ///< of the lamps as the file states them; 0 in absolute files of LM-63
  double input_watts = 0;
  Tilt tilt;                     ///< empty: TILT=NONE

  /// Intensity, cd, towards gamma (0…pi) and C (any), rad: bilinear between the file's angles, 0 outside them.
  double intensity(double gamma, double c) const;
};

/// Reads IES LM-63 (1986, 1991, 1995, 2002, 2019) or EULUMDAT text, told apart by what it holds. Bytes are taken as Latin-1
/// unless they are UTF-8. Errors name the place in the text and what was expected there; warnings tell what was passed
/// over (a second lamp set, a tilt of measurement, text after the end).
std::optional<Photometry> read_photometry(std::string_view text, Diagnostics& diagnostics);
std::optional<Photometry> read_lm63(std::string_view text, Diagnostics& diagnostics);
std::optional<Photometry> read_eulumdat(std::string_view text, Diagnostics& diagnostics);

/// Luminous flux by zones of gamma: between neighbours of `edges_deg`, the mean of the intensities at their ends, averaged
/// over C, times 2 pi (cos a − cos b) (zonal constants; IES Lighting Handbook). Exact for the cosine law; lm.
std::vector<double> zonal_lumens(const Photometry& photometry, const std::vector<double>& edges_deg);
/// The sum over the file's own angles (types A and B: over one degree).
double luminous_flux(const Photometry& photometry);

/// Factor of the lamp's light when the luminaire is tilted out of the position it was measured in, rad: LM-63 TILT.
double tilt_factor(const Photometry& photometry, double tilt);

/// The rows of shaders/kernels/distribution.glsl. Angles that are multiples of a step are kept as they are; others, and
/// types A and B, are taken at steps of at most 1° (C: 2.5°).
std::vector<dvec4> distribution_rows(const Photometry& photometry);

/// Names of the generic distributions of assets/lamps ("generic-narrow", …), and their text; "" when there is none.
std::vector<std::string> generic_lamps();
std::string_view generic_lamp(std::string_view name);

/// Fetches what the job's lamps name: a generic distribution, or a file through the loader. Complaints about a file stand
/// at the lamp's key, with the file's own line and column in them.
void load_photometry(Job& job, const Loader& loader, Diagnostics& diagnostics);

}  // namespace rakelight
