// What the program says beside what the oracle found, point by point.
#pragma once
#include <functional>

#include "light/light.h"
#include "oracle/scenes.h"
#include "oracle/statistics.h"

namespace oracle {

/// The program's light in a scene: room, basis with grids on the scene's faces, lighting.
struct Program {
  rakelight::Job job;
  rakelight::Room room;
  rakelight::Lighting lighting;
  explicit Program(const Scene& scene, double patch = rakelight::LightDetail{}.patch);
  Program(const Program&) = delete;
  Program& operator=(const Program&) = delete;
  /// Light vectors by source, as source_names.
  std::vector<dvec3> exact(int face, dvec2 p) const;
  /// Sun and lamps exact, the rest from the field grid: what pictures use.
  dvec3 on_grid(int face, dvec2 p) const;
};

/// The oracle at one point: by source and all together, with standard errors.
struct Sampled {
  Spot spot;
  std::vector<dvec3> source, source_error;
  dvec3 total{0}, error{0};
  double ratio = 0, ratio_error = 0;  ///< |E_t| / E_n
};
Sampled summed(const Spot& spot, const Replicates& replicates);

/// One cache a replicate.
std::vector<Cache> make_caches(const World& world, int count, double spacing, int rays);
/// Every spot on two threads.
std::vector<Sampled> sample(const World& world, const std::vector<Spot>& spots, Counts counts, const std::vector<Cache>* caches);

/// The oracle's table of a scene, tests/reference/oracle_light.csv, and how many replicates stand behind it.
std::vector<Sampled> table_of(const Scene& scene);
inline constexpr int table_replicates = 32;

/// Both ways in which the program tells the light at a point: exactly (findings) and from the field grid (pictures).
struct Said { dvec3 exact{0}, grid{0}; std::vector<dvec3> source; };
std::vector<Said> ask(const Program& program, const std::vector<Sampled>& points);

enum class Way { exact, grid };
/// |program − oracle| of the light vector, over its length.
std::vector<Comparison> compare_vectors(const std::vector<Sampled>& points, const std::vector<Said>& said, Way way);
/// Difference of the raking ratio over itself or over 0.2, whichever is more: light that rakes less than that gives relief
/// of 10 mrad, a bad lap mark's, no more than 0.2 % of contrast, which nobody sees.
std::vector<Comparison> compare_ratios(const std::vector<Sampled>& points, const std::vector<Said>& said, Way way);

/// By source: its share of the light, signed mean over the points of (program − oracle) along the oracle's whole light
/// vector over its length, that mean's standard error, and the 95th percentile of the difference's length over the whole.
struct Bias { std::string source; double share = 0, mean = 0, error = 0, p95 = 0; };
std::vector<Bias> bias_by_source(const Scene& scene, const std::vector<Sampled>& points, const std::vector<Said>& said);

/// each(0) … each(count − 1), on two threads.
void on_two_threads(std::size_t count, const std::function<void(std::size_t)>& each);

}  // namespace oracle
