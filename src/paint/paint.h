// Paint as reflection: a diffuse base under a coat with two sheen lobes.
#pragma once
#include <array>
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

struct Paint {
  double reflectance = 0.8;    ///< of the whole, diffuse illumination
  double alpha60 = 0.44;       ///< GGX roughness that gives gloss60 under the 60° meter
  double alpha85 = 0.16;       ///< the same for the 85° meter
  double index = 1.5;
  std::string name;
  CoatAlbedo albedo;           ///< of the coat these roughnesses make; see coat_albedo
};
/// Albedo of a coat, by quadrature over the visible normals; the polynomials are within 0.003 of the quadrature from
/// 10° elevation up and 0.006 from 3° (for matt paints 0.001), as a smooth coat turns sharply at grazing.
CoatAlbedo coat_albedo(double alpha60, double alpha85, double index);
/// Reflectance of the base under a coat such that the painted face sends back `reflectance` of even light in all:
/// (ρ − Ē)/(1 − Ē), not below 0.
double base_reflectance(double reflectance, const CoatAlbedo& albedo);

/// From a job's paint; roughness by the simulated glossmeter of ISO 2813 / ASTM D523 (diffuse share subtracted).
Paint make_paint(const PaintSpec& spec, double reflectance);
/// Gloss units of one GGX lobe under the meter at 20, 60 or 85 degrees; specular part only.
double simulated_gloss(double alpha, int meter_deg, double index = 1.5);
/// Roughness whose total reading (with the diffuse share of `reflectance`) is `gloss_units`.
double roughness_from_gloss(double gloss_units, int meter_deg, double reflectance, double index = 1.5);

}  // namespace rakelight
