// The program's light against the oracle's, in every scene: how it is judged stands in statistics.h.
#include <catch2/catch.hpp>
#include <cmath>
#include <cstdio>
#include <fmt/format.h>
#include <fstream>
#include <iterator>
#include <sstream>

#include "oracle/measure.h"
#include "support/validated.h"

using namespace oracle;

namespace {

constexpr int table_points = 48;
/// Proved over these, 5 of 100 points at most: light vector and raking ratio; the ratio's 95 of 100 points stay under it, noise and all.
constexpr double vector_bound = 0.005, ratio_bound = 0.01;

std::string quoted(const std::string& name) { return name.find(',') == std::string::npos ? name : '"' + name + '"'; }

void report(const Scene& scene, const std::vector<Sampled>& points, const std::vector<Said>& said, double t) {
  std::string text = scene.name + "\n";
  for (const Way way : {Way::exact, Way::grid}) {
    const Verdict v = judge(compare_vectors(points, said, way), vector_bound, t), r = judge(compare_ratios(points, said, way), ratio_bound, t);
    for (const auto& [what, w] : {std::pair("E", v), std::pair("R", r)})
      text += fmt::format("  {:5} {}  p50 {:.3f} p95 {:.3f} most {:.3f} % (t s {:.3f}), over {} of {}, worst {}\n", way == Way::grid ? "grid" : "exact",
                          what, 100 * w.p50, 100 * w.p95, 100 * w.most, 100 * w.noise_p95, w.proved_over, w.count, w.worst);
  }
  for (const Bias& b : bias_by_source(scene, points, said))
    text += fmt::format("    {:10} share {:6.2f} %  bias {:+.3f} +- {:.3f} %  p95 {:.3f} %\n", b.source, 100 * b.share, 100 * b.mean, 100 * b.error,
                        100 * b.p95);
  std::fputs(text.c_str(), stdout);
  std::fflush(stdout);
}

std::string text_of(const std::string& path) {
  std::ifstream in(path);
  return {std::istreambuf_iterator<char>(in), std::istreambuf_iterator<char>()};
}

/// The lines of a table that begin with a scene's name (in quotes where it has a comma).
std::string rows_of(const std::string& table, const std::string& scene) {
  std::string rows, line;
  std::istringstream lines(table);
  while (std::getline(lines, line))
    if (line.starts_with(quoted(scene) + ",")) rows += line + "\n";
  return rows;
}

}  // namespace

TEST_CASE("makes the oracle's table anew", "[.bless]") {
  const std::string head =
      "# made by the path tracer of tests/oracle (oracle_tests \"[.bless]\"): light vectors, lx, in the face's u, v, n, with standard errors from 32 "
      "replicates; ratio = |E_t| / E_n of the whole light\nscene,face,u,v,source,e_u,e_v,e_n,se_u,se_v,se_n,ratio,se_ratio\n";
  const std::string path = std::string(RAKELIGHT_REFERENCE_DIR) + "/oracle_light.csv";
  const std::string before = text_of(path);
  // a scene that has its rows keeps them: to make them anew, take them out first
  std::vector<std::string> rows;
  for (const Scene& scene : all_scenes()) rows.push_back(rows_of(before, scene.name));
  for (std::size_t i = 0; i < rows.size(); ++i) {
    if (!rows[i].empty()) continue;
    const Scene scene = all_scenes()[i];
    const World world(scene.plan);
    Counts counts;
    counts.replicates = table_replicates;
    counts.paths = 32768;
    counts.direct = 4096;
    const auto caches = make_caches(world, 16, 0.15, 64);
    const auto points = sample(world, spots_of(scene, table_points, 5), counts, &caches);
    const auto names = source_names(scene.plan);
    for (const Sampled& p : points) {
      const auto line = [&](const std::string& name, dvec3 e, dvec3 error, const std::string& rest) {
        rows[i] += fmt::format("{},{},{:.4f},{:.4f},{},{:.6g},{:.6g},{:.6g},{:.2g},{:.2g},{:.2g},{}\n", quoted(scene.name), p.spot.face, p.spot.at.x,
                               p.spot.at.y, name, e.x, e.y, e.z, error.x, error.y, error.z, rest);
      };
      for (std::size_t k = 0; k < names.size(); ++k) line(names[k], p.source[k], p.source_error[k], ",");
      line("all", p.total, p.error, fmt::format("{:.6g},{:.2g}", p.ratio, p.ratio_error));
    }
    std::string all = head;
    for (const std::string& r : rows) all += r;
    std::ofstream(path) << all;
    std::printf("%s done, lost %ld\n", scene.name.c_str(), lost_rays());
    std::fflush(stdout);
  }
}

TEST_CASE("paths traced to their end, few, stand by the table", "[oracle]") {
  // Without the cache that the table was made with: unbiased, noisy. Every source and component of four points a scene must
  // lie within Student's limit of the table, and all bounced light together must agree in the mean.
  constexpr std::size_t every = table_points / 4;
  Counts counts;
  counts.replicates = 16;
  counts.paths = counts.direct = 1024;
  counts.seed = 77;
  std::vector<double> bounce;
  double variance = 0;
  for (const Scene& scene : all_scenes()) {
    const World world(scene.plan);
    const auto points = table_of(scene);
    REQUIRE(points.size() == table_points);
    const auto spots = spots_of(scene, table_points, 5);
    std::vector<Sampled> some;
    std::vector<Spot> some_spots;
    for (std::size_t i = 0; i < table_points; ++i) {
      // the table is of these very scenes
      CHECK(points[i].spot.face == spots[i].face);
      CHECK(glm::length(points[i].spot.at - spots[i].at) < 1e-9);
      if (i % every) continue;
      some.push_back(points[i]);
      some_spots.push_back(spots[i]);
    }
    const auto traced = sample(world, some_spots, counts, nullptr);
    const double t = t_limit(static_cast<int>(8 * 4 * 5 * 3), counts.replicates);
    for (std::size_t i = 0; i < some.size(); ++i) {
      const double scale = glm::length(some[i].total);
      for (std::size_t k = 0; k < some[i].source.size(); ++k)
        for (int axis = 0; axis < 3; ++axis) {
          INFO(scene.name << " point " << i << " source " << k << " component " << axis);
          const double difference = traced[i].source[k][axis] - some[i].source[k][axis];
          // 1e-5 for the table's six digits
          CHECK(std::abs(difference) <= t * std::hypot(traced[i].source_error[k][axis], some[i].source_error[k][axis]) + 1e-5 * scale);
        }
      bounce.push_back((traced[i].source.back().z - some[i].source.back().z) / scale);
      variance += std::pow(std::hypot(traced[i].source_error.back().z, some[i].source_error.back().z) / scale, 2);
    }
  }
  double mean = 0;
  for (const double b : bounce) mean += b / static_cast<double>(bounce.size());
  const double error = std::sqrt(variance) / static_cast<double>(bounce.size());
  CAPTURE(mean, error);
  CHECK(std::abs(mean) < 4 * error);
  CHECK(error < 0.01);
  CHECK(lost_rays() == 0);
}

/// What is held in every scene, as a share of the light: what 95 of 100 points' light vectors may be off by, the table's noise in it,
/// exactly and on the picture's grid.
constexpr double held_vector = 0.005;
/// The bounced light's mean error: 0.2 % of all light, 0.3 % by the lamp 100 mm off its wall, where the table itself is known to 0.1 %
/// only ("the table does not hang on its cache's spacing") and one point 0.8 m beside the lamp is 2 % off.
double held_bias(const std::string& scene) { return scene.starts_with("lamp") ? 0.003 : 0.002; }
/// What t s may be at 95 of 100 points: a test that cannot tell proves nothing.
constexpr double sharp = 0.016;

TEST_CASE("light of every scene against the oracle's table", "[oracle]") {
  test::Validated direct("direct light of sun, windows and lamps in eight scenes, each source at 95 of 100 points", "paths, 48 points a scene",
                         "0.3 % of all light, 0.01 % and 5 standard errors in the mean", " %", 100);
  std::vector<Scene> scenes = all_scenes();
  REQUIRE(scenes.size() == 8);
  for (const Scene& scene : scenes) {
    INFO(scene.name);
    const auto points = table_of(scene);
    REQUIRE(points.size() == table_points);
    const Program program(scene);
    const auto said = ask(program, points);
    // a family of four comparisons at each point of all scenes: three components and the ratio
    const double t = t_limit(static_cast<int>(4 * table_points * scenes.size()), table_replicates);
    report(scene, points, said, t);
    for (const Way way : {Way::exact, Way::grid}) {
      INFO((way == Way::grid ? "grid" : "exact"));
      const Verdict v = judge(compare_vectors(points, said, way), vector_bound, t);
      const Verdict r = judge(compare_ratios(points, said, way), ratio_bound, t);
      for (const auto& [what, w, bound, limit] : {std::tuple("light vector", v, vector_bound, held_vector), std::tuple("raking ratio", r, ratio_bound, ratio_bound)}) {
        test::Validated found(fmt::format("{}, {}, {}", scene.name, what, way == Way::grid ? "on the picture's grid" : "exact"), "paths, 48 points",
                              fmt::format("p95 {:.1f} %; at most 5 of 100 proved over {:.1f} %", 100 * limit, 100 * bound));
        found.says(fmt::format("p95 {:.2f} %, without the table's noise {:.2f} (known to {:.2f}); {} proved over", 100 * w.p95, 100 * w.model_p95,
                               100 * w.noise_p95, w.proved_over));
      }
      INFO("vector: " << v.proved_over << " proved over, p95 " << v.p95 << ", worst " << v.worst << "; ratio: " << r.proved_over << ", p95 " << r.p95);
      CHECK(v.holds());
      CHECK(r.holds());
      CHECK(v.p95 <= held_vector);
      CHECK(r.p95 <= ratio_bound);
      CHECK(v.sharp(sharp));
    }
    const auto bias = bias_by_source(scene, points, said);
    // direct light is quadrature, held to 0.1 %: 95 of 100 points, 0.3 % beside a penumbra or a near lamp
    for (const Bias& b : bias) {
      CAPTURE(b.source, b.mean, b.error, b.p95);
      if (b.source == "bounce") {
        test::Validated found(fmt::format("{}, bounced light in the mean", scene.name), "paths, 48 points",
                              fmt::format("{:.1f} % of all light and 5 standard errors", 100 * held_bias(scene.name)));
        found.says(fmt::format("{:+.2f} ± {:.2f} % of all light, {:.0f} % of which it is", 100 * b.mean, 100 * b.error, 100 * b.share));
      } else {
        direct.off(b.p95);
      }
      if (b.source == "bounce") CHECK(std::abs(b.mean) < held_bias(scene.name) + 5 * b.error);
      else CHECK(std::abs(b.mean) < 1e-4 + 5 * b.error);
      if (b.source != "bounce") CHECK(b.p95 < 0.003);
    }
  }
}

TEST_CASE("the table does not hang on its cache's spacing", "[long]") {
  // 0.12 m instead of 0.2, other random numbers
  for (const Scene& scene : all_scenes()) {
    const World world(scene.plan);
    const auto points = table_of(scene);
    Counts counts;
    counts.replicates = 16;
    counts.paths = 4096;
    counts.seed = 31;
    const auto caches = make_caches(world, counts.replicates, 0.12, 64);
    const auto anew = sample(world, spots_of(scene, table_points, 5), counts, &caches);
    const double t = t_limit(static_cast<int>(3 * points.size() * all_scenes().size()), counts.replicates);
    double mean = 0, variance = 0;
    for (std::size_t i = 0; i < points.size(); ++i) {
      const double scale = glm::length(points[i].total);
      for (int axis = 0; axis < 3; ++axis) {
        INFO(scene.name << " point " << i << " component " << axis);
        const double error = std::hypot(anew[i].error[axis], points[i].error[axis]);
        CHECK(std::abs(anew[i].total[axis] - points[i].total[axis]) < t * error + 0.001 * scale);
      }
      mean += (anew[i].total.z - points[i].total.z) / scale / table_points;
      variance += std::pow(std::hypot(anew[i].error.z, points[i].error.z) / scale / table_points, 2);
    }
    std::printf("%s: mean change of E_n %+.3f %% +- %.3f\n", scene.name.c_str(), 100 * mean, 100 * std::sqrt(variance));
    std::fflush(stdout);
    CHECK(std::abs(mean) < 0.001 + 4 * std::sqrt(variance));
  }
}

TEST_CASE("glass taken as dull sends a little too much back", "[long]") {
  // A pane is a mirror; the program lets it scatter its hemispherical reflectance, which is more than what a mirror sends
  // back, as most of the room's light falls on it squarely. Measured: 0.3 to 0.9 % of E, 0.2 to 0.8 % of R.
  for (const Scene& scene : {window_beside_wall(), l_shaped_room()}) {
    const auto spots = spots_of(scene, 12, 9);
    Counts counts;
    counts.replicates = 16;
    counts.paths = 2048;
    std::vector<std::vector<Sampled>> by;
    for (const Panes panes : {Panes::dull, Panes::mirrors}) {
      Plan plan = scene.plan;
      plan.lamps.clear();  // their images in the glass are not found by paths
      const World world(plan, panes);
      const auto caches = make_caches(world, 4, 0.3, 64);
      by.push_back(sample(world, spots, counts, &caches));
    }
    double mean = 0;
    for (std::size_t i = 0; i < spots.size(); ++i) {
      const dvec3 change = by[1][i].total - by[0][i].total;
      const double scale = glm::length(by[0][i].total);
      INFO(scene.name << " point " << i);
      CHECK(glm::length(change) < 0.012 * scale);
      mean += glm::dot(change, by[0][i].total) / (scale * scale) / static_cast<double>(spots.size());
    }
    CAPTURE(mean);
    CHECK(mean < -0.002);
    CHECK(mean > -0.008);
  }
}

TEST_CASE("prints where the program misses by more than 0.4 %", "[.misses]") {
  // by the program's own patches, and halved: what their size brings goes, what comes from elsewhere stays
  for (const Scene& scene : all_scenes()) {
    const auto points = table_of(scene);
    std::vector<std::vector<Said>> said;
    for (const double patch : {0.25, 0.125}) said.push_back(ask(Program(scene, patch), points));
    const auto vectors = compare_vectors(points, said[0], Way::exact), grid = compare_vectors(points, said[0], Way::grid);
    std::printf("%s\n", scene.name.c_str());
    for (std::size_t i = 0; i < points.size(); ++i) {
      if (std::max(vectors[i].deviation, grid[i].deviation) < 0.004) continue;
      const dvec3 o = points[i].source.back(), e = points[i].source_error.back();
      const double whole = glm::length(points[i].total);
      std::printf("  %s: exact %.2f %% (s %.2f) grid %.2f %%; E %.1f, bounce traced %.2f %.2f %.2f (+- %.2f %.2f %.2f)", vectors[i].where.c_str(), 100 * vectors[i].deviation,
                  100 * vectors[i].error, 100 * grid[i].deviation, whole, o.x, o.y, o.z, e.x, e.y, e.z);
      for (const auto& way : said) {
        const dvec3 off = (way[i].source.back() - o) * (100 / whole), direct = (way[i].exact - points[i].total) * (100 / whole) - off;
        std::printf("; off by %+.2f %+.2f %+.2f %%", off.x, off.y, off.z);
        if (&way == &said.front() && glm::length(direct) > 0.05) std::printf(" and direct %+.2f %+.2f %+.2f %%", direct.x, direct.y, direct.z);
      }
      std::printf("\n");
    }
    for (std::size_t k = 0; k < said.size(); ++k) {
      const Verdict v = judge(compare_vectors(points, said[k], Way::exact), vector_bound, 0), g = judge(compare_vectors(points, said[k], Way::grid), vector_bound, 0);
      const Bias b = bias_by_source(scene, points, said[k]).back();
      std::printf("  patches of %g m: p95 exact %.2f grid %.2f %%, bounce in the mean %+.3f %%\n", 0.25 / static_cast<double>(1 << k), 100 * v.p95, 100 * g.p95, 100 * b.mean);
    }
    std::fflush(stdout);
  }
}
