// Paint as reflection: a diffuse base under a coat with two sheen lobes.
#pragma once
#include <array>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "job/job.h"

namespace rakelight {

/// A finish class of assets/paints: gloss units with sources.
struct PaintClass { std::string id, title, source; double gloss60 = 0, gloss85 = 0; };
std::optional<PaintClass> paint_class(const std::string& id);
std::vector<std::string> paint_ids();

/// How much even light from all round the coat sends back into a direction at cosine μ: three polynomials of degree
/// 7 in 1 − μ (low powers first), as shaders/kernels/sheen.glsl combines them, and the mean over directions.
struct CoatAlbedo {
  std::array<double, 8> a60{}, b85{}, c85{};
  double mean = 0;
};

/// The fine texture of a face, as a random relief whose slopes are strongest at waves `pitch` long: heights of standard
/// deviation `rms`, power spectrum rms² pitch²/π exp(−(k pitch)²) per (cycles/m)². m.
struct Stipple { double rms = 0, pitch = 0; };

/// What has been put on: nothing (board and dry compound), the sealer, everything.
enum class PaintStage { bare, sealed, painted };
std::string stage_text(PaintStage stage);
std::optional<PaintStage> stage_named(const std::string& text);

struct Paint {
  double reflectance = 0.8;    ///< of the whole, diffuse illumination
  double alpha60 = 0.44;       ///< GGX roughness that gives gloss60 under the 60° meter
  double alpha85 = 0.16;       ///< the same for the 85° meter
  double index = 1.5;
  std::string name;
  CoatAlbedo albedo;           ///< of the coat these roughnesses make; see coat_albedo
  std::vector<Stipple> stipple;  ///< of independent origin: their spectra add
  std::shared_ptr<const Paint> over_compound;  ///< the same coat where compound lies; null: nobody can tell
  bool by_suction = false;     ///< the two differ by suction and texture alone, not by colour: any film over the face ends it
};
/// Albedo of a coat, by quadrature over the visible normals; the polynomials are within 0.003 of the quadrature from
/// 10° elevation up and 0.006 from 3° (for matt paints 0.001), as a smooth coat turns sharply at grazing.
CoatAlbedo coat_albedo(double alpha60, double alpha85, double index);
/// Reflectance of the base under a coat such that the painted face sends back `reflectance` of even light in all:
/// (ρ − Ē)/(1 − Ē), not below 0.
double base_reflectance(double reflectance, const CoatAlbedo& albedo);

/// From a job's paint; roughness by the simulated glossmeter of ISO 2813 / ASTM D523 (diffuse share subtracted).
/// `reflectance`: of the paint. How paper and compound differ under it: assets/paints/systems.toml.
Paint make_paint(const PaintSpec& spec, double reflectance, PaintStage stage = PaintStage::painted);
/// Reflectance of most of a face at a stage, where no compound lies.
double stage_reflectance(const PaintSpec& spec, double reflectance, PaintStage stage);
/// Share that is left of what two coats of paint alone show between paper and compound, 0 to 1: a third for every coat of
/// sealer and every coat of paint past the second; none under an even sealer or a lining.
double banding_share(const PaintSpec& spec);
/// Complains of paints that are not known.
void check_paints(const Job& job, Diagnostics& diagnostics);

/// Figures of assets/paints/systems.toml. Reflectances, shares of gloss units, gloss units.
struct SystemFigures {
  double paper_reflectance = 0, compound_reflectance = 0, sealer_reflectance = 0;
  double bare_gloss60 = 0, bare_gloss85 = 0;
  double through_sealer = 0, through_paint = 0;   ///< share of a difference in reflectance that one coat lets through
  double gloss60_share = 0, gloss60_most = 0, gloss85_share = 0, gloss85_most = 0;  ///< duller over compound, unsealed
  double lighter = 0;                             ///< lighter over compound, share of the reflectance, unsealed
  double per_coat = 0;                            ///< what a sealer leaves of the difference
};
/// Throws std::logic_error when the embedded file is broken.
const SystemFigures& system_figures();
/// Gloss units of one GGX lobe under the meter at 20, 60 or 85 degrees; specular part only.
double simulated_gloss(double alpha, int meter_deg, double index = 1.5);
/// Roughness whose total reading (with the diffuse share of `reflectance`) is `gloss_units`.
double roughness_from_gloss(double gloss_units, int meter_deg, double reflectance, double index = 1.5);

}  // namespace rakelight
