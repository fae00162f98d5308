// Light vectors have no divergence in empty space (Gershun 1936): what E_t spreads along a face, E_n loses off it. The
// program states the former, the oracle measures the latter by lifting its point with the same random numbers.
#include <catch2/catch.hpp>
#include <cmath>
#include <fmt/format.h>

#include "oracle/measure.h"
#include "support/validated.h"

using namespace oracle;

namespace {

/// −∂E_n/∂n over E_n, 1/m, second order at the face from three heights.
Mean lost_off_the_face(const World& world, Spot spot, const Counts& counts, const std::vector<Cache>& caches) {
  constexpr double h = 10e-3;
  std::vector<std::vector<double>> e;
  for (int k = 0; k < 3; ++k) {
    spot.height = k * h;
    e.emplace_back();
    for (const auto& replicate : light_at(world, spot, counts, &caches)) {
      double sum = 0;
      for (const dvec3& source : replicate) sum += source.z;
      e.back().push_back(sum);
    }
  }
  std::vector<double> loss;
  for (std::size_t r = 0; r < e[0].size(); ++r) loss.push_back((3 * e[0][r] - 4 * e[1][r] + e[2][r]) / (2 * h) / e[0][r]);
  return mean_of(loss);
}

void check_divergence(int spots_a_scene, int points) {
  test::Validated found(fmt::format("divergence of the light vector, {} points", 3 * spots_a_scene), "paths from lifted points",
                        "5 % of E_n a metre and Student's limit", " % of E_n a metre", 100);
  const std::vector<Scene> scenes{window_beside_wall(), window_in_corner(), l_shaped_room()};
  Counts counts;
  counts.replicates = 16;
  counts.paths = counts.direct = points;
  const double t = t_limit(static_cast<int>(scenes.size()) * spots_a_scene, counts.replicates);
  for (Scene scene : scenes) {
    scene.plan.lamps.clear();
    const World world(scene.plan);
    const Program program(scene);
    const auto spots = spots_of(scene, spots_a_scene, 21);
    const auto caches = make_caches(world, 4, 0.3, 64);
    std::vector<Mean> traced(spots.size());
    on_two_threads(spots.size(), [&](std::size_t i) {
      Counts own = counts;
      own.seed = 900 + i;
      traced[i] = lost_off_the_face(world, spots[i], own, caches);
    });
    for (std::size_t i = 0; i < spots.size(); ++i) {
      const auto at = [&](dvec2 p) { return rakelight::smooth_light(program.lighting, spots[i].face, p); };
      const dvec2 p = spots[i].at;
      constexpr double d = 0.01;
      const auto here = at(p);
      const double spread = (at(p + dvec2(d, 0)).e.x - at(p - dvec2(d, 0)).e.x + at(p + dvec2(0, d)).e.y - at(p - dvec2(0, d)).e.y) / (2 * d);
      INFO(fmt::format("{}, face {} at {:.2f}, {:.2f} m: stated {:+.4f}, E_t spreads {:+.4f}, traced {:+.4f} +- {:.4f} of E_n a metre", scene.name,
                       spots[i].face, p.x, p.y, here.div_t / here.e.n, spread / here.e.n, traced[i].value, traced[i].error));
      // the stated accuracy of the field grids: 5 % of E_n a metre is 5e-5 of contrast for a millimetre of relief
      CHECK(found.off(here.div_t / here.e.n - traced[i].value) < 0.05 + t * traced[i].error);
      // E_t has steps of 0.1 % of E_n where a patch changes from points to a polygon, 5 % a metre over these 20 mm
      CHECK(std::abs(here.div_t - spread) < 0.06 * here.e.n);
    }
  }
}

}  // namespace

TEST_CASE("what light spreads along a face it loses off it", "[oracle]") { check_divergence(4, 2048); }
TEST_CASE("what light spreads along a face it loses off it, at more points", "[long]") { check_divergence(12, 8192); }
