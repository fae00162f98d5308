// Luminance that a viewer sees of a wall with a coat, flat and across a joint: the program's kernels against traced paths
// and the published formulas of the coat.
#include <catch2/catch.hpp>
#include <cmath>
#include <cstdio>
#include <fmt/format.h>

#include "oracle/joints.h"
#include "support/validated.h"

using namespace oracle;

TEST_CASE("contrast that a viewer sees of a wall with a coat", "[long]") {
  // Bounds, as shares of the joint's greatest contrast: what is reached, not what is aimed at (1 %). Seen along the wall
  // towards the window, the program's contrast comes out up to 9 % too small, with black rooms as well: the sky's image
  // answers to slope 2 to 7 % too little and to height not at all; and the lit reveal's image is all but missing from the
  // flat wall. A lamp's image under a lobe of 0.04 is 2 % of the contrast off.
  struct Case { Joint joint; dvec3 eye; double bound; };
  const std::vector<Case> cases{
      {{window_beside_wall(), 0, {3, 0.2}, {3, 2.4}}, {0.6, 0.6, 1.6}, 0.12},
      {{low_sun(), 0, {2.5, 0.2}, {2.5, 2.4}}, {0.6, 0.6, 1.6}, 0.07},
      {{lamp_at_wall(), 0, {1.5, 1.3}, {5, 1.3}}, {2, 3.2, 1.6}, 0.03},
  };
  for (const Case& c : cases) {
    const World world(c.joint.scene.plan);
    const Program program(c.joint.scene);
    Counts counts;
    counts.replicates = 16;
    counts.paths = 2048;
    counts.direct = 4096;
    const auto caches = make_caches(world, 4, 0.3, 32);
    for (const double alpha : {0.04, 0.1, 0.2, 0.5}) {
      INFO(c.joint.scene.name << " roughness " << alpha);
      rakelight::Paint paint;
      paint.reflectance = 0.8;
      paint.alpha60 = paint.alpha85 = alpha;
      paint.albedo = rakelight::coat_albedo(alpha, alpha, paint.index);
      const Coat coat(0.8, alpha);
      const auto said = said_contrast(c.joint, program, paint, c.eye);
      std::vector<Traced> traced(said.contrast.size());
      on_two_threads(traced.size(), [&](std::size_t i) {
        const double u = offsets()[i];
        const dvec2 p = 0.5 * (c.joint.from + c.joint.to) + u * c.joint.across();
        Counts own = counts;
        own.seed += i;
        const auto a = luminance_at(world, {c.joint.face, p, 0, dvec2(0)}, coat, c.eye, own, caches);
        const auto b = luminance_at(world, {c.joint.face, p, height(u), slope(u) * c.joint.across()}, coat, c.eye, own, caches);
        std::vector<double> contrast;
        for (std::size_t r = 0; r < a.size(); ++r) {
          double la = 0, lb = 0;
          for (const double l : a[r]) la += l;
          for (const double l : b[r]) lb += l;
          contrast.push_back(lb / la - 1);
        }
        const Mean m = mean_of(contrast);
        traced[i] = {m.value, m.error};
      });
      double most = 0;
      std::vector<Comparison> points;
      for (std::size_t i = 0; i < traced.size(); ++i) {
        most = std::max(most, std::abs(traced[i].contrast));
        points.push_back({std::abs(said.contrast[i] - traced[i].contrast), traced[i].error, fmt::format("{:+.3f} m", offsets()[i])});
      }
      const double bound = 2e-4 + c.bound * most;
      const Verdict v = judge(points, bound, t_limit(static_cast<int>(4 * cases.size() * offsets().size()), counts.replicates));
      test::Validated found(fmt::format("contrast across a joint under a coat of roughness {}, {}", alpha, c.joint.scene.name), "the coat's formulas along traced paths",
                            fmt::format("at most 5 of 100 proved over 0.02 points + {:.0f} % of the greatest", 100 * c.bound));
      found.says(fmt::format("p95 {:.2f} points of {:.2f}, {} of {} proved over", 100 * v.p95, 100 * most, v.proved_over, v.count));
      std::printf("%s, roughness %.2f: greatest contrast %.3f %%, differences p95 %.3f %%, most %.3f %% at %s (t s %.3f %%)\n", c.joint.scene.name.c_str(),
                  alpha, 100 * most, 100 * v.p95, 100 * v.most, v.worst.c_str(), 100 * v.noise_p95);
      std::fflush(stdout);
      CHECK(v.holds());
      CHECK(v.sharp(2 * bound));
    }
  }
}
